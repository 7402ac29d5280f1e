// Cards of the sets, the release of a dog, and dispatch: to be read where no signal is.
import { animals, app, ofSet, setOf, zone } from "/field/app.js";
import { aside, drawing, el, mark } from "/field/dom.js";
import { dayAndHour, shortly } from "/field/clock.js";
import { sentence } from "/field/events.js";
import { dispatchCard, dogCard, releaseCard } from "/field/held.js";
import { head } from "/field/set.js";

const NONE = () => aside("No pack is on this device yet", "Open these pages once with signal before you go.");

export function list() {
  if (!app.pack) return NONE();
  return el("div", {}, el("h1", {}, "Cards"),
    el("ul", { class: "lines tall" }, app.pack.sets.map((set) => el("li", {}, el("a", { href: `#/card/${encodeURIComponent(set.id)}` }, el("b", { class: "fig" }, String(set.number)), ` ${set.name}`), mark(set.standing)))),
    dogCard(), releaseCard(), dispatchCard(null));
}

function findings(headline, rows) {
  return el("section", { class: "said" }, el("h2", {}, headline), el("ul", { class: "lines" }, rows.map((one) => el("li", {}, mark(one.answer, true), " ", el("b", {}, one.name), ": ", one.question || one.reason, el("small", { class: "sub" }, ` ${one.source}`)))));
}

const ORDER = ["breaks", "cannot tell", "meets"];
const byAnswer = (rows) => [...rows].sort((a, b) => ORDER.indexOf(a.answer) - ORDER.indexOf(b.answer));

export function card(id) {
  const set = setOf(id);
  if (!app.pack) return NONE();
  if (!set) return el("div", {}, head(null, id), aside("This set is not held here", `The pack of ${dayAndHour(new Date(app.pack.made), zone())} has no such set.`));
  const rows = ofSet(set.id);
  const kept = new Map([...app.rows.values()].map((row) => [row.id, row]));
  return el("div", { class: "card" }, head(set, id), el("p", {}, el("a", { class: "do", href: `#/set/${encodeURIComponent(set.id)}` }, "Log this set")),
    el("p", { class: "must" }, set.must), el("p", {}, set.say), el("p", { class: "gates" }, el("span", {}, "law ", mark(set.law_answer, true)), el("span", {}, "welfare ", mark(set.welfare_answer, true))),
    set.drawing ? drawing(set.drawing, `Section of set ${set.number}`) : null,
    el("ul", { class: "keys" }, set.keys.map(([letter, words]) => el("li", {}, el("b", {}, letter), words))),
    el("section", { class: "said" }, el("h2", {}, "The rig that should lie there"), el("table", { class: "facts" }, el("tbody", {}, (set.expected.facts.length ? set.expected.facts : [["trap", set.expected.trap || "not said"], ["rig", set.expected.label]]).map(([name, words]) => el("tr", {}, el("th", { scope: "row" }, name), el("td", {}, words)))))),
    el("section", { class: "said" }, el("h2", {}, "Before you leave it"), el("ol", { class: "counted lines" }, set.steps.map((step) => el("li", {}, step)))),
    aside("Cautions", set.cautions.map((one) => el("p", {}, el("b", {}, `${one.head}. `), one.text))),
    el("section", { class: "said" }, el("h2", {}, "The six links"), el("ul", { class: "lines" }, set.links.map((one) => el("li", {}, mark(one.standing), " ", el("b", {}, one.link), `: ${one.why}`, one.mend ? [" ", el("b", {}, "Mend: "), one.mend] : null)))),
    findings("Law", byAnswer(set.law)), findings("Welfare", byAnswer(set.welfare)),
    el("section", { class: "said" }, el("h2", {}, "Entries known here"), rows.length ? el("ul", { class: "lines" }, rows.slice(-12).reverse().map((one) => el("li", {}, el("span", { class: "fig" }, shortly(new Date(one.time), zone())), ` ${sentence(one, animals())}`, kept.get(one.id)?.state === "sent" ? "" : el("b", {}, ", not yet sent")))) : el("p", {}, "None.")),
    el("p", { class: "sub" }, `${app.pack.line.law}: ${app.pack.line.law_checked}. No legal advice; local law and licensed practice come first.`));
}
