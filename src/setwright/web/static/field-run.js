// The run in its order: what was seen, what comes next, how long each may still wait.
import { app, inRun, nextStop, phaseOf, seenToday, zone } from "/field/app.js";
import { aside, el } from "/field/dom.js";
import { dayAndHour, hour, shortly, span } from "/field/clock.js";

function row(set, next, now) {
  const seen = seenToday(set, now);
  const by = set.due.by ? new Date(set.due.by) : null;
  const left = by ? by - now : null;
  const pulled = phaseOf(set) === "pulled";
  const said = pulled ? "pulled" : seen ? `seen ${hour(seen, zone())}` : by ? (left < 0 ? el("b", { class: "lim" }, `late ${span(left)}`) : span(left)) : "look daily";
  return el("tr", { class: seen || pulled ? "done" : next?.id === set.id ? "nx" : "" },
    el("td", { class: "fig no" }, String(set.number)),
    el("th", { scope: "row" }, el("a", { href: `#/set/${encodeURIComponent(set.id)}` }, set.name), el("span", { class: "sub" }, `${set.holds_alive ? "holds alive" : "takes under"}, ${phaseOf(set) === "unknown" ? "state not known" : phaseOf(set)}`)),
    el("td", { class: "fig r" }, by ? shortly(by, zone(), now) : "–"), el("td", { class: "fig r left" }, said));
}

const table = (sets, next, now) => el("table", { class: "runt" }, el("thead", {}, el("tr", {}, ["set", "where", "limit", "left"].map((words, at) => el("th", { scope: "col", class: at > 1 ? "r" : "" }, words)))), el("tbody", {}, sets.map((set) => row(set, next, now))));

export function screen() {
  if (!app.pack) return aside("No pack is on this device yet", "Open these pages once with signal before you go.");
  const now = new Date();
  const stops = inRun();
  const rest = app.pack.sets.filter((one) => !one.stop);
  const next = nextStop(now);
  const age = now - Date.parse(app.pack.made);
  return el("div", {}, el("h1", {}, `Run of ${app.pack.line.name}`),
    app.pack.line.invented ? el("p", { class: "sub" }, "An invented line: place, rules and figures are made up.") : null,
    el("p", {}, app.pack.run.say), app.pack.run.warnings.map((words) => el("p", {}, el("b", {}, "Mind: "), words)),
    table(stops, next, now), rest.length ? [el("h2", {}, "Not in the run"), table(rest, next, now)] : null,
    el("p", { class: "sub" }, `As the desk knew it ${dayAndHour(new Date(app.pack.made), zone())}, ${span(age)} ago.`),
    aside("Before you go", app.pack.cautions.map((one) => el("p", {}, el("b", {}, `${one.head}. `), one.text))));
}
