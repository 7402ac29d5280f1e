// One set: found, what, write down. Nothing here knows of the network.
import { animals, app, draft as keepDraft, keep, lastSeen, mayWrite, nextStop, ofSet, phaseOf, setOf, takeBack, trapIn, units, who, zone } from "/field/app.js";
import { answer, answered, aside, el, question, say } from "/field/dom.js";
import { dayAndHour, hour, shortly, span, todayAt } from "/field/clock.js";
import { event, newId, sentence } from "/field/events.js";
import { doubts } from "/field/guard.js";
import { NoRoom } from "/field/store.js";
import { injuryDetails, injuryPicks } from "/field/held.js";
import { nextLook, verdict } from "/field/sprung.js";
import { download } from "/field/unsent.js";

const FRESH = 12 * 3600000;
const FOUND = [
  ["armed", "Armed", "nothing touched"], ["held", "Animal held", "its card opens next"], ["sprung", "Sprung, empty", "read the sign first"],
  ["not", "Will not work", "frozen, flooded, dry, gone"], ["away", "Got away", "was held, is gone"],
];
const EVIDENCE = [
  ["hair", "Hair"], ["toe mark", "Toe mark"], ["digging", "Dug up"], ["frost heave", "Frost lifted it"], ["stock", "Stock or deer"],
  ["thief", "A person"], ["water", "Water or ice"], ["none seen", "Nothing to see"],
];
const CAUSES = ["frozen", "snowed in", "flooded", "dry", "missing", "stolen", "other"];
const TRACKS = [["", "None to tell"], ["track_on_pan", "A foot on the pan"], ["tracks_at_set", "Tracks, none on it"]];
const LEFT = [["", "Not done yet"], ["reset", "Made again, armed"], ["pulled", "Pulled"]];
const PARTS = [["fore foot", "Fore foot"], ["hind foot", "Hind foot"], ["other", "Other part"], [null, "Not seen"]];
const ALIVE = [[true, "Alive"], [false, "Dead"], [null, "Not known"]];

const named = (rows, value) => rows.find(([key]) => key === value)?.[1] ?? String(value);

export function draftOf(id) {
  const held = app.drafts.get(id);
  if (held && Date.now() - held.begun < FRESH) return held;
  return { set: id, visit: newId(), begun: null, extra: {} };
}

const stateWords = (set) => (phaseOf(set) === "unknown" ? "state not known" : phaseOf(set));

export function head(set, id) {
  if (!set) return el("section", { class: "next" }, el("span", { class: "no" }, "?"), el("h1", {}, id), el("p", {}, "not in the pack on this device"));
  const by = set.due.by ? new Date(set.due.by) : null;
  const left = by ? by - Date.now() : null;
  const seen = lastSeen(set);
  return el("section", { class: "next" },
    el("span", { class: "no" }, String(set.number)), el("h1", {}, set.name),
    el("p", {}, `${set.target_name}, ${set.set_words}; ${set.holds_alive ? "holds alive" : "takes under"}`, set.access ? `; by ${set.access}` : "", "."),
    el("p", { class: "lim2" },
      el("span", {}, by ? ["see it by ", el("b", {}, shortly(by, zone())), el("small", {}, `, says ${set.due.told_by}`)] : set.due.why),
      by ? el("b", { class: left < 0 ? "fig lim" : "fig" }, left < 0 ? `late ${span(left)}` : span(left)) : null),
    el("p", { class: "sub" }, `${stateWords(set)}; `, seen ? `last seen ${shortly(seen, zone())}. ` : "no look is written here. ", el("a", { href: `#/card/${set.id}` }, "Card of the set")));
}

// The card that shows a set also when the pack lacks it: what is known is offered.
function lacking(id) {
  const rows = ofSet(id);
  const when = app.pack ? `The pack on this device was made ${dayAndHour(new Date(app.pack.made), zone())} and has no set "${id}".` : "No pack is on this device yet.";
  return aside("This set is not held here", [
    `${when} A newer one is fetched as soon as the desk is reached. Entries can be written all the same; they are sent when the line is known to have this set.`,
    rows.length ? el("ul", { class: "lines" }, rows.slice(-5).reverse().map((one) => el("li", {}, `${shortly(new Date(one.time), zone())}: ${sentence(one, animals())}`))) : "No entry of it is kept here.",
  ]);
}

export function screen(id, draw) {
  const set = setOf(id);
  const key = set ? set.id : id;
  const draft = draftOf(key);
  const put = async (part) => {
    Object.assign(draft, part);
    draft.begun = draft.begun || Date.now();
    draft.mind = null;
    app.drafts.set(key, draft);
    draw("step");
    await keepDraft(key, draft);
  };
  const made = el("div", { class: "setpage", "data-set": key }, head(set, id), set ? null : lacking(id));
  if (!mayWrite()) {
    made.append(aside("", `As ${app.pack.person.role} you may look here, not write.`));
    return made;
  }
  if (app.drafts.has(key) && draft.begun && Date.now() - draft.begun > 60000) made.append(el("p", { class: "sub" }, `Taken up again from ${hour(new Date(draft.begun), zone())}.`));
  const form = el("div", { class: "form" });
  form.append(...steps(set, draft, put, key).filter(Boolean));
  made.append(form);
  return made;
}

function steps(set, draft, put, key) {
  if (!draft.found) {
    return [question("1", "Found", [...FOUND.map(([name, words, small]) => answer(words, small, () => put({ found: name }), { "data-found": name })),
      el("a", { class: "pick", href: `#/set/${encodeURIComponent(key)}/other` }, el("span", {}, "Something else", el("small", {}, "all kinds of entries")))])];
  }
  const found = answered("1", "Found", FOUND.find(([name]) => name === draft.found)[1], () => put({ found: null, what: undefined, seen: null, asked: false, asking: false, extra: {}, left: "" }));
  const second = { armed, held, sprung, not: broken, away }[draft.found](set, draft, put);
  const done = draft.what !== undefined || draft.found === "armed";
  return [found, ...second, done && draft.found !== "held" && draft.found !== "armed" ? left(draft, put) : null, done ? besides(draft) : null, done ? fin(set, draft, put, key) : null];
}

const choose = (number, words, rows, now, put) => question(number, words, rows.map(([value, label]) => answer(label, "", () => put(value), { "aria-pressed": String(value === now) })));

function armed(set, draft, put) {
  return [choose("2", "Any tracks?", TRACKS, draft.what || "", (what) => put({ what }))];
}

function held(set, draft, put) {
  const names = animals();
  if (draft.what === undefined) {
    const likely = (set?.animals || []).filter((one) => names.has(one)).slice(0, 4);
    const rows = [...(set ? [set.target] : []), ...likely].map((one) => answer(names.get(one) || one, one === set?.target ? "the target" : "", () => put({ what: one }), { "data-animal": one }));
    const others = [...names].filter(([one]) => one !== set?.target && !likely.includes(one));
    const list = el("label", { class: "line" }, el("span", {}, "Another animal"),
      el("select", { on: { change: (changed) => changed.target.value && put({ what: changed.target.value }) } },
        el("option", { value: "" }, "choose"), others.map(([one, words]) => el("option", { value: one }, words))));
    return [question("2", "Which animal?", [...rows, answer("Not known", "", () => put({ what: null }))]), others.length ? list : null];
  }
  const extra = { part: null, alive: null, injury: "not", injuries: [], ...draft.extra };
  const more = (part) => put({ extra: { ...extra, ...part } });
  return [
    answered("2", "Animal", draft.what ? names.get(draft.what) || draft.what : "not known", () => put({ what: undefined, extra: {} })),
    choose("", "Part held", PARTS, extra.part, (part) => more({ part })),
    choose("", "Alive?", ALIVE, extra.alive, (alive) => more({ alive })),
    injuryPicks(extra, more),
  ];
}

function sprung(set, draft, put) {
  if (draft.asking && app.pack) return looks(set, draft, put);
  if (draft.what === undefined) {
    return [question("2", "What sign is there?", [
      ...(app.pack ? [answer("Ask me", "short questions: what fired it", () => put({ asking: true, asked: false, seen: {} }), { "data-ask": "" })] : []),
      ...EVIDENCE.map(([what, words]) => answer(words, "", () => put({ what }), { "data-sign": what })),
    ])];
  }
  return [answered("2", "Sign", named(EVIDENCE, draft.what), () => put({ what: undefined }))];
}

function looks(set, draft, put) {
  const tree = app.pack.tree;
  const medium = set?.medium || "land";
  const back = answered("2", "What fired it", Object.values(draft.seen).join("; ") || "asking", () => put({ asking: false, seen: null, asked: false, what: undefined }));
  const look = draft.asked ? null : nextLook(tree, medium, draft.seen);
  if (look) {
    const rows = Object.keys(look.answers).map((word) => answer(word, "", () => {
      const seen = { ...draft.seen, [look.key]: word };
      const more = nextLook(tree, medium, seen);
      put({ seen, what: more ? undefined : verdict(tree, medium, seen)?.details.evidence ?? "none seen" });
    }, { "data-look": word }));
    const some = Object.keys(draft.seen).length > 0;
    const stop = () => put(some ? { asked: true, what: verdict(tree, medium, draft.seen)?.details.evidence ?? "none seen" } : { asking: false, seen: null });
    return [back, question("", look.question, [...rows, answer("Cannot tell", some ? "take what is known" : "back to the signs", stop)])];
  }
  const found = verdict(tree, medium, draft.seen);
  if (!found) return [back, aside("", "Nothing that is known leads to all of this. Write down the sign alone.")];
  return [back, aside("Most likely", [
    el("ol", { class: "lines" }, found.causes.map(([label, weight]) => el("li", {}, el("b", { class: "fig" }, `${Math.round(100 * weight)} of 100`), ` ${label}`))),
    el("p", {}, el("b", {}, "Change one thing: "), found.change, "."),
    el("p", { class: "sub" }, "Shares are modelling choices. Spring the trap or tie the levers before a hand goes near."),
  ])];
}

function broken(set, draft, put) {
  if (draft.what === undefined) return [question("2", "Why?", CAUSES.map((what) => answer(what[0].toUpperCase() + what.slice(1), "", () => put({ what }), { "data-cause": what })))];
  return [answered("2", "Why", draft.what, () => put({ what: undefined }))];
}

function away(set, draft, put) {
  const names = animals();
  const rows = [...(set ? [set.target] : []), ...(set?.animals || []).slice(0, 4)];
  if (draft.what === undefined) return [question("2", "Likely which animal?", [...rows.map((one) => answer(names.get(one) || one, "", () => put({ what: one }))), answer("Not known", "", () => put({ what: null }))])];
  return [answered("2", "Animal", draft.what ? names.get(draft.what) || draft.what : "not known", () => put({ what: undefined }))];
}

function left(draft, put) {
  const rows = [choose("3", "Left how?", LEFT, draft.left || "", (value) => put({ left: value }))];
  if (draft.left === "reset") rows.push(force(draft));
  return el("div", {}, rows);
}

export function force(draft) {
  // What was typed keeps its unit, though a newer pack may show others.
  const unit = (draft.force && draft.forceUnit) || FORCES[units()];
  return el("label", { class: "line" }, el("span", {}, `Pan trips at, ${unit} `, el("small", {}, "empty: not read")),
    el("input", { inputmode: "decimal", maxlength: "6", "data-force": "", value: draft.force || "", on: { input: (typed) => { draft.force = typed.target.value; draft.forceUnit = unit; keepDraft(draft.set, draft); } } }));
}

function besides(draft) {
  const line = (name, words, given) => el("label", { class: "line" }, el("span", {}, words), el("input", { value: draft[name] || "", ...given, on: { input: (typed) => { draft[name] = typed.target.value; keepDraft(draft.set, draft); } } }));
  const open = Boolean(draft.note || draft.at);
  return el("details", { open }, el("summary", {}, "Note, or another time"), line("note", "Note", { maxlength: "500" }), line("at", "Seen at, today", { placeholder: "07:10", inputmode: "numeric", maxlength: "5" }));
}

const FORCES = { us: "lbf", metric: "N" };
const NEWTONS = { lbf: 4.4482216152605, N: 1 };
const MOST = 445;

export function forceDetails(draft) {
  const text = (draft.force || "").trim().replace(",", ".");
  if (!text) return {};
  const unit = draft.forceUnit || FORCES.us;
  const value = Number(text) * NEWTONS[unit];
  if (!Number.isFinite(value) || value <= 0 || value > MOST) throw new RangeError(`The pan force is a number of ${unit === "N" ? "newtons, such as 15" : "pounds, such as 3.5"}; or leave it empty.`);
  return { trip_force: value };
}

export function built(set, draft, key) {
  let time = new Date(draft.begun || Date.now());
  if (draft.at) {
    time = todayAt(draft.at, zone());
    if (!time) throw new RangeError("The time is one of today that has gone by, such as 07:10; or leave it empty.");
  }
  const lies = set ? trapIn(set) : { trap: null, rig: null };
  const made = [];
  const add = (kind, details) => made.push(event(who(), kind, { ...(made.length ? {} : draft.note ? { note: draft.note } : {}), ...details }, { set: key, visit: draft.visit, place: made.length, time, ...lies }));
  if (draft.found === "armed") {
    add("checked", { method: "in person" });
    if (draft.what) add(draft.what, {});
  } else if (draft.found === "held") {
    const extra = { part: null, alive: null, injury: "not", injuries: [], ...draft.extra };
    const target = set && draft.what === set.target;
    const tame = draft.what ? app.pack?.animals.find((one) => one.key === draft.what)?.domestic ?? null : null;
    add(target ? "catch_target" : "catch_nontarget", { species: draft.what, part: extra.part, alive: extra.alive, ...injuryDetails(extra), ...(target ? {} : { domestic: tame }) });
  } else if (draft.found === "sprung") {
    const told = draft.seen && Object.keys(draft.seen).length && app.pack ? verdict(app.pack.tree, set?.medium || "land", draft.seen) : null;
    add("sprung_empty", told ? told.details : { evidence: draft.what });
  } else if (draft.found === "not") {
    add("inoperative", { cause: draft.what });
  } else {
    add("escape", { species_guess: draft.what });
  }
  if (draft.left === "reset") add("reset", forceDetails(draft));
  if (draft.left === "pulled") add("pulled", {});
  return made;
}

// Writes, or says aloud that it did not.
export async function commit(key, made, words, onward) {
  const last = { visit: made[0].visit, set: key, words, time: made[0].time };
  try {
    await keep(made, (meta) => [meta.delete("draft:" + key), meta.put({ key: "last", value: last })]);
  } catch (error) {
    const full = error instanceof NoRoom;
    say("Not written down");
    return el("section", { class: "said refused", role: "alert" }, el("h2", {}, "Not written down"),
      el("p", {}, full ? "There is no room left on this device. Save this entry as a file now, then make room or send what waits." : `The device did not keep it: ${error.message}.`),
      el("p", {}, el("button", { type: "button", class: "plain", "data-save": "", on: { click: () => download(made, "entry") } }, "Save this entry as a file")));
  }
  app.drafts.delete(key);
  app.last = last;
  say(`Written down: ${words}`);
  navigator.storage?.persist?.().then((kept) => { app.kept = kept; }).catch(() => {});
  location.hash = onward;
  dispatchEvent(new Event("written"));
  return null;
}

function fin(set, draft, put, key) {
  const spot = el("div", { class: "finpage" });
  const write = async (sure) => {
    const reasons = sure ? [] : doubts(set);
    if (reasons.length) {
      spot.replaceChildren(mind(reasons, () => write(true), () => put({})));
      spot.querySelector("button").focus();
      return;
    }
    spot.querySelectorAll("button").forEach((one) => { one.disabled = true; });
    let made;
    try {
      made = built(set, draft, key);
    } catch (error) {
      spot.replaceChildren(el("p", { class: "said refused", role: "alert" }, error.message), ...buttons());
      return;
    }
    const caught = made.find((one) => one.kind.startsWith("catch_"));
    const words = `${set ? `set ${set.number}` : key}, ${sentence(made[0], animals())}`;
    const fault = await commit(key, made, words, caught ? `#/set/${encodeURIComponent(key)}/held/${caught.id}` : "#/next");
    if (fault) spot.replaceChildren(fault, ...buttons());
  };
  const buttons = () => [el("div", { class: "fin" },
    el("button", { type: "button", class: "plain", on: { click: async () => { app.drafts.delete(key); await keepDraft(key, null); dispatchEvent(new Event("written")); } } }, "Start again"),
    el("button", { type: "button", class: "write1", "data-write": "", on: { click: () => write(false) } }, "Write it down"))];
  spot.replaceChildren(...buttons());
  return spot;
}

function mind(reasons, go, stop) {
  return el("section", { class: "said refused", role: "alert" }, el("h2", {}, "Is this the right set?"), reasons.map((text) => el("p", {}, text)),
    el("div", { class: "fin" }, el("button", { type: "button", class: "plain", on: { click: stop } }, "Not yet"), el("button", { type: "button", "data-sure": "", on: { click: go } }, "Write it all the same")));
}

export function nextScreen(draw) {
  const set = nextStop();
  const made = el("div", { class: "nextpage" }, lastEntry());
  if (!app.pack) made.append(aside("No pack is on this device yet", "It is fetched as soon as the desk is reached: open these pages once with signal, before you go. Entries to a set can be written without it through its link or code."));
  else if (!set) made.append(aside("Nothing is left of this run", [`Every set of the run that lies out has an entry of today.`, el("p", {}, el("a", { href: "#/run" }, "The run"))]));
  else made.append(screen(set.id, draw));
  return made;
}

function lastEntry() {
  if (!app.last) return null;
  const row = [...app.rows.values()].find((one) => one.record.visit === app.last.visit);
  const gone = ![...app.rows.values()].some((one) => one.record.visit === app.last.visit && one.record.kind !== "void" && !isVoid(one.id));
  if (!row || gone || Date.now() - Date.parse(app.last.time) > FRESH) return null;
  return el("section", { class: "last" }, el("p", {}, el("b", {}, hour(new Date(app.last.time), zone())), ` ${app.last.words}: written down, `, row.state === "sent" ? "sent" : "kept here"),
    el("button", { type: "button", class: "again", "data-undo": "", on: { click: async () => { await takeBack(app.last.visit); say("Taken back"); dispatchEvent(new Event("written")); } } }, "Take it back"));
}

const isVoid = (id) => [...app.rows.values()].some((one) => one.record.kind === "void" && one.record.corrects === id);
