// What waits on this device, why, and how to bring it home without a signal.
import { animals, app, line, mark, setting, waiting, zone } from "/field/app.js";
import { aside, el, say } from "/field/dom.js";
import { dayAndHour, iso, span } from "/field/clock.js";
import { inOrder, lines, sentence } from "/field/events.js";
import { watch } from "/field/guard.js";
import { sync } from "/field/sync.js";
import { takeNewer } from "/field/main.js";

export function download(records, what) {
  const address = URL.createObjectURL(new Blob([lines(records)], { type: "application/x-ndjson" }));
  const day = iso(new Date(), zone()).slice(0, 16).replaceAll(":", "");
  const made = el("a", { href: address, download: `setwright-${what}-${day}.jsonl` });
  document.body.append(made);
  made.click();
  made.remove();
  setTimeout(() => URL.revokeObjectURL(address), 60000);
}

const records = (rows) => rows.map((row) => row.record).sort(inOrder);

function entry(row) {
  const one = row.record;
  const other = row.line !== null && app.session && row.line !== app.session.line;
  return el("li", {}, el("span", { class: "fig" }, dayAndHour(new Date(one.time), zone())), ` ${one.set_id || "line"}: ${sentence(one, animals())}`,
    row.state === "refused" ? el("p", { class: "refused" }, el("b", {}, "Not taken: "), row.reason) : null,
    other ? el("p", { class: "refused" }, `It is of the line "${row.line}"; the desk has "${app.session.line}" open.`) : null,
    row.state === "refused" || other ? el("button", { type: "button", class: "again", on: { click: () => mark([[row.id, { state: "aside" }]]) } }, "Put aside, keep") : null);
}

export function screen() {
  const rows = waiting().sort((a, b) => inOrder(a.record, b.record));
  const away = [...app.rows.values()].filter((row) => row.state === "aside");
  const now = Date.now();
  const reach = app.reach;
  const refused = rows.filter((row) => row.state === "refused").length;
  const made = el("div", { class: "unsent" },
    el("h1", {}, rows.length ? `${rows.length} ${rows.length === 1 ? "entry waits" : "entries wait"} here` : "Everything is sent"),
    el("p", {}, reach.state === "reached" ? `The desk was reached ${span(now - reach.at)} ago.${reach.words ? ` There is ${reach.words}.` : ""}` : reach.state === "not tried" ? "The desk was not tried yet." : `The desk was not reached: ${reach.words}. Nothing is lost; it is tried again.`,
      reach.login ? [" ", el("a", { href: "/login?next=%2Ffield" }, "Log in"), "."] : "",
      refused ? ` ${refused} were not taken, with the reason beside each.` : ""),
    app.session && Math.abs(app.session.ahead) > 300000 ? el("p", { class: "said refused" }, `The clock of this device is ${span(app.session.ahead)} ${app.session.ahead > 0 ? "ahead of" : "behind"} the desk: entries to come are not taken.`) : null,
    el("div", { class: "fin" },
      el("button", { type: "button", class: "plain", "data-file": "", disabled: !rows.length, on: { click: () => { download(records(rows), "entries"); say("Saved as a file"); } } }, "Save as a file"),
      el("button", { type: "button", "data-send": "", on: { click: () => { say("Trying"); sync(true); } } }, "Send now")),
    rows.length ? el("ul", { class: "lines" }, rows.slice(0, 200).map(entry)) : null,
    rows.length > 200 ? el("p", { class: "sub" }, `and ${rows.length - 200} more; the file has all of them.`) : null,
    el("p", { class: "sub" }, "The file is read at the desk on the Log page, or with ", el("code", {}, "setwright log import"), ". What is in the log already does not come in twice."),
    away.length ? el("section", { class: "said" }, el("h2", {}, `Put aside: ${away.length}`), el("p", {}, "Not sent and not counted, but kept."), el("button", { type: "button", class: "plain", on: { click: () => download(records(away), "aside") } }, "Save these as a file"), el("button", { type: "button", class: "again", on: { click: () => mark(away.map((row) => [row.id, { state: "unsent", reason: "", line: line() }])) } }, "Let them wait again")) : null,
    device());
  return made;
}

function device() {
  const pack = app.pack;
  const guard = el("input", { type: "checkbox", id: "guard", on: { change: async (one) => { await setting("guardOn", one.target.checked); watch(one.target.checked); } } });
  guard.checked = app.guardOn;
  const name = el("input", { id: "name", value: app.name, maxlength: "80", autocomplete: "name", on: { change: (one) => setting("name", one.target.value.trim()) } });
  const kept = app.kept === true ? "The device has promised to keep them." : app.kept === false ? "The device has not promised to keep them when room runs out: send often, or save a file." : "The device is asked to keep them with the first entry.";
  return el("section", { class: "said" }, el("h2", {}, "This device"),
    el("label", { class: "line" }, el("span", {}, "Written by"), name),
    el("label", { class: "line check", for: "guard" }, el("span", {}, "Ask when I am far from the set", el("small", {}, "uses the position on this device only; it is not sent and not kept")), guard),
    el("p", {}, kept),
    el("p", {}, pack ? `Pack of ${pack.line.name}, made ${dayAndHour(new Date(pack.made), zone())}, ${span(Date.now() - Date.parse(pack.made))} old: ${pack.sets.length} sets.` : "No pack is held here."),
    app.news ? aside("A newer form of these pages is here", [el("p", {}, waiting().length ? "It comes in by itself when everything is sent. Nothing that waits is touched by it." : "It comes in when nothing is half written."), el("button", { type: "button", class: "plain", "data-newer": "", on: { click: takeNewer } }, "Take it now")]) : null);
}
