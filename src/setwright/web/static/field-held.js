// An animal that was held: injuries never left blank, the cards for letting go and for dispatch, and what has to be reported.
import { animals, app, draft as keepDraft, setOf, trapIn, who, zone } from "/field/app.js";
import { answer, aside, el, question } from "/field/dom.js";
import { dayAndHour, limitOf, span, withinWords } from "/field/clock.js";
import { event, INJURIES } from "/field/events.js";
import { commit, draftOf, force, forceDetails } from "/field/set.js";

const INJURY = [["none", "None seen"], ["not", "Not looked"], ["seen", "Seen"]];
const ENDS = [["release", "Let go"], ["dispatch", "Dispatched"], ["submerged_dead", "Dead under water"], ["", "Not yet"]];
const CONDITION = ["walked well", "limped", "hurt, kept for a vet", "not seen"];
const MEANS = ["catch-pole", "board and cover", "by hand, levers pressed"];
const METHOD = ["firearm", "another lawful means"];
// Cautions of a set that bear on handling what it holds.
const BESIDE = ["Disease", "Hares and rabbits", "Mange", "Fleas", "Hard cold", "Heat", "You, in the water", "Cold water", "Ice", "Submersion"];
const LEFT = [["", "Not done yet"], ["reset", "Made again, armed"], ["pulled", "Pulled"]];

export function injuryPicks(extra, more) {
  const rows = [question("", "Injury?", INJURY.map(([value, words]) => answer(words, "", () => more({ injury: value }), { "aria-pressed": String(extra.injury === value), "data-injury": value })))];
  if (extra.injury === "seen") {
    const toggle = (key) => more({ injuries: extra.injuries.includes(key) ? extra.injuries.filter((one) => one !== key) : [...extra.injuries, key] });
    rows.push(el("div", { class: "opts scale" }, INJURIES.map((one) => answer(one.words, one.trauma, () => toggle(one.key), { "aria-pressed": String(extra.injuries.includes(one.key)), "data-scale": one.key }))));
  }
  return el("div", {}, rows);
}

// Nobody looked is not the same as none seen: the log keeps them apart.
export function injuryDetails(extra) {
  if (extra.injury === "none") return { injuries: [], looked_over: "whole" };
  if (extra.injury === "seen" && extra.injuries.length) return { injuries: [...extra.injuries].sort(), looked_over: "whole" };
  return { injuries: null, looked_over: extra.injury === "seen" ? "part" : "not" };
}

const list = (steps) => el("ol", { class: "counted lines" }, steps.map((step) => el("li", {}, step)));

export function dogCard() {
  return aside("A dog or other pet: let it go in this order", [list(app.pack.dog_release)], "said dog");
}

export function releaseCard() {
  return aside("Letting go", [app.pack.letting_go, ...app.pack.disease.map((one) => el("p", {}, el("b", {}, `${one.head}. `), one.text))]);
}

export function dispatchCard(set) {
  const said = (set?.cautions || []).filter((one) => BESIDE.includes(one.head));
  return aside("Dispatch", [app.pack.dispatch, ...said.map((one) => el("p", {}, el("b", {}, `${one.head}. `), one.text))]);
}

export function reports(record) {
  const domestic = record.details.domestic === true;
  const column = record.kind === "catch_target" ? "target" : domestic ? "domestic" : "other";
  const key = record.details.species || "*";
  const found = app.pack.clocks.filter((one) => one[column].includes(key));
  const caught = new Date(record.time);
  const rows = found.map((one) => {
    const by = limitOf(caught, one.within, zone());
    const left = by ? by - Date.now() : null;
    return el("li", {}, el("b", {}, one.act), ` ${withinWords(one.within)}`, by ? [": ", el("b", { class: left < 0 ? "fig lim" : "fig" }, `by ${dayAndHour(by, zone())}, ${left < 0 ? `late ${span(left)}` : `${span(left)} left`}`)] : "", el("small", { class: "sub" }, ` ${one.source}`));
  });
  if (rows.length) return aside(`Report clock, from ${dayAndHour(caught, zone())}`, [el("ul", { class: "lines" }, rows), el("p", { class: "sub" }, "What the pack says is what somebody read; the local office decides.")]);
  return domestic ? aside("Report clock", "No rule of the pack names a time. Tell the owner and the local office the same day (common practice).") : null;
}

export function screen(id, eventId, draw) {
  const set = setOf(id);
  const record = app.rows.get(eventId)?.record;
  if (!record || !app.pack) return aside("This entry is not held here", [el("p", {}, el("a", { href: `#/set/${encodeURIComponent(id)}` }, "To the set"))]);
  const key = `${record.set_id}/${eventId}`;
  const draft = app.drafts.has(key) ? draftOf(key) : { ...draftOf(key), set: key, visit: record.visit };
  const put = async (part) => {
    Object.assign(draft, part);
    draft.begun = draft.begun || Date.now();
    app.drafts.set(key, draft);
    draw("step");
    await keepDraft(key, draft);
  };
  const target = record.kind === "catch_target";
  const name = record.details.species ? animals().get(record.details.species) || record.details.species : "an animal not known";
  const made = el("div", { class: "setpage" }, el("section", { class: "next" }, el("span", { class: "no" }, set ? String(set.number) : "?"), el("h1", {}, `Held: ${name}`), el("p", {}, target ? "the target" : record.details.domestic ? "a pet or stock: it goes home" : "not the target")));
  if (record.details.domestic) made.append(dogCard());
  made.append(...[reports(record), record.details.domestic ? null : target ? dispatchCard(set) : releaseCard(), target ? null : record.details.domestic ? releaseCard() : dispatchCard(set)].filter(Boolean));
  made.append(...steps(set, record, draft, put, key));
  return made;
}

function steps(set, record, draft, put, key) {
  const ends = ENDS.filter(([value]) => value !== "submerged_dead" || set?.medium === "water").filter(([value]) => !(record.details.domestic && value === "submerged_dead"));
  const picks = (words, rows, now, go, given = {}) => question("", words, rows.map(([value, label]) => answer(label, "", () => go(value), { "aria-pressed": String(now === value), ...given })));
  const plain = (rows) => [...rows.map((one) => [one, one[0].toUpperCase() + one.slice(1)]), [null, "Not said"]];
  const extra = { injury: "not", injuries: [], condition: null, means: null, method: null, ...draft.extra };
  const more = (part) => put({ extra: { ...extra, ...part } });
  const made = [question("", "What became of it?", ends.map(([value, label]) => answer(label, "", () => (value === "" ? (location.hash = "#/next") : put({ end: value })), { "aria-pressed": String(draft.end === value), "data-end": value })))];
  if (!draft.end) return made;
  if (draft.end === "release") made.push(picks("It went", plain(CONDITION), extra.condition, (condition) => more({ condition })), picks("By", plain(MEANS), extra.means, (means) => more({ means })), injuryPicks(extra, more));
  if (draft.end === "dispatch") made.push(picks("By", plain(METHOD), extra.method, (method) => more({ method })), injuryPicks(extra, more));
  if (draft.end === "submerged_dead") made.push(picks("Did the lock hold?", [[true, "Yes"], [false, "No"], [null, "Not known"]], extra.lock ?? null, (lock) => more({ lock })), injuryPicks(extra, more));
  made.push(picks("Left how?", LEFT, draft.left || "", (left) => put({ left })));
  if (draft.left === "reset") made.push(force(draft));
  const spot = el("div", { class: "finpage" }, el("div", { class: "fin" }, el("button", { type: "button", class: "plain", on: { click: () => { location.hash = "#/next"; } } }, "Later"), el("button", { type: "button", class: "write1", "data-write": "", on: { click: write } }, "Write it down")));
  async function write() {
    let events;
    try {
      events = built(set, record, draft, extra);
    } catch (error) {
      spot.prepend(el("p", { class: "said refused", role: "alert" }, error.message));
      return;
    }
    const fault = await commit(key, events, `set ${set ? set.number : record.set_id}, ${ENDS.find(([value]) => value === draft.end)[1].toLowerCase()}`, "#/next");
    if (fault) spot.prepend(fault);
  }
  return [...made, spot];
}

function built(set, record, draft, extra) {
  const made = [];
  const lies = set ? trapIn(set) : {};
  const add = (kind, details, of = {}) => made.push(event(who(), kind, details, { set: record.set_id, visit: record.visit, place: record.place + 1 + made.length, time: new Date(), ...lies, ...of }));
  const looked = injuryDetails(extra);
  if (draft.end === "release") add("release", { condition: extra.condition, means: extra.means, ...looked });
  if (draft.end === "dispatch") add("dispatch", { method: extra.method });
  if (draft.end === "submerged_dead") add("submerged_dead", { lock_held: extra.lock ?? null });
  // Whoever looks the animal over only now says so of the catch.
  if (draft.end !== "release" && looked.injuries !== null && record.details.injuries === null) {
    add("correction", { changes: { details: looked }, reason: "looked over afterwards" }, { corrects: record.id });
  }
  if (draft.left === "reset") add("reset", forceDetails(draft));
  if (draft.left === "pulled") add("pulled", {});
  return made;
}
