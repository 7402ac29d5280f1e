// Every kind of entry, as a plain form made from the table of kinds.
import { animals, app, mayWrite, setOf, trapIn, units, who, zone } from "/field/app.js";
import { aside, el } from "/field/dom.js";
import { iso, momentAt } from "/field/clock.js";
import { event, GROUPS, INJURIES, KINDS, newId, sentence, WORDS } from "/field/events.js";
import { commit, head } from "/field/set.js";

const LAST = ["note", "weather", "minutes"];
const ANIMALS = ["species", "species_guess", "target"];
const SKIPPED = ["photos", "changes"];

export function screen(id, kind, draw) {
  const set = setOf(id);
  const made = el("div", { class: "setpage" }, head(set, id));
  if (!mayWrite()) made.append(aside("", "You may look here, not write."));
  else made.append(kind && KINDS[kind] ? form(set, id, kind) : list(id));
  void draw;
  return made;
}

function list(id) {
  const address = (kind) => `#/set/${encodeURIComponent(id)}/other/${kind}`;
  return el("div", {}, Object.entries(GROUPS).map(([headline, kinds]) => el("section", { class: "ask" }, el("h2", {}, headline), el("div", { class: "opts" }, kinds.map((kind) => el("a", { class: "pick", href: address(kind), "data-kind": kind }, el("span", {}, WORDS(kind))))))));
}

function guess(set, name) {
  if (!set) return "";
  const known = { site: set.id, medium: set.medium, target: set.target, set_type: set.expected.set_type, anchor: set.expected.anchor, chain: set.expected.chain, cover: set.expected.cover };
  return known[name] ?? "";
}

function control(set, name, slot) {
  const id = `slot-${name}`;
  if (ANIMALS.includes(name)) {
    return el("select", { id, name, value: "" }, el("option", { value: "" }, "not known"), [...animals()].map(([key, words]) => el("option", { value: key, selected: key === guess(set, name) }, words)));
  }
  if (slot.choices || slot.form === "yes_no") {
    const rows = slot.choices ? slot.choices.map((one) => [one, one]) : [["yes", "yes"], ["no", "no"]];
    return el("select", { id, name }, el("option", { value: "" }, "not known"), rows.map(([key, words]) => el("option", { value: key, selected: key === guess(set, name) }, words)));
  }
  if (name === "injuries") {
    return el("select", { id, name, multiple: true, size: "6" }, el("option", { value: "none" }, "looked, none seen"), INJURIES.map((one) => el("option", { value: one.key }, `${one.words} (${one.trauma})`)));
  }
  const number = ["number", "whole"].includes(slot.form);
  return el("input", { id, name, value: guess(set, name), maxlength: "500", autocomplete: "off", ...(slot.form === "moment" ? { type: "datetime-local" } : {}), ...(number ? { inputmode: "decimal" } : {}) });
}

function valueOf(slot, name, field) {
  if (name === "injuries") {
    const picked = [...field.selectedOptions].map((one) => one.value);
    return picked.length ? picked.filter((one) => one !== "none") : null;
  }
  const text = field.value.trim();
  if (!text) return null;
  if (slot.form === "yes_no") return text === "yes";
  if (slot.form === "words") return text.split(",").map((one) => one.trim()).filter(Boolean);
  if (slot.form === "moment") {
    const [year, month, day, hours, minutes] = text.split(/[-T:]/).map(Number);
    return iso(momentAt(year, month - 1, day, hours, minutes, zone()), zone());
  }
  if (slot.form === "number" || slot.form === "whole") {
    const value = Number(text.replace(",", ".")) * (slot.factor || 1);
    const good = Number.isFinite(value) && value >= (slot.low ?? -Infinity) && value <= (slot.high ?? Infinity) && (slot.form === "number" || Number.isInteger(value));
    if (!good) throw new RangeError(`${slot.label}: a number${slot.unit ? ` in ${slot.unit}` : ""} is needed, or nothing.`);
    return value;
  }
  return text;
}

function form(set, id, kind) {
  const slots = Object.entries(KINDS[kind].slots).filter(([name]) => !SKIPPED.includes(name)).map(([name, slot]) => [name, { ...slot, ...slot.units?.[units()] }]);
  const order = [...slots.filter(([name]) => !LAST.includes(name)), ...slots.filter(([name]) => LAST.includes(name))];
  const said = el("div", {});
  const made = el("form", { class: "all", on: { submit: write } }, el("h2", {}, WORDS(kind)),
    order.map(([name, slot]) => el("label", { class: "line", for: `slot-${name}` }, el("span", {}, slot.label, slot.unit ? `, ${slot.unit}` : "", slot.form === "words" && name !== "injuries" ? el("small", {}, "commas between") : null), control(set, name, slot))),
    el("p", { class: "sub" }, "What is left empty is written down as not known."), said,
    el("div", { class: "fin" }, el("a", { class: "do plain", href: `#/set/${encodeURIComponent(id)}/other` }, "Back"), el("button", { type: "submit", "data-write": "" }, "Write it down")));

  async function write(sent) {
    sent.preventDefault();
    const details = {};
    try {
      for (const [name, slot] of order) {
        const value = valueOf(slot, name, made.elements[name]);
        if (value !== null || slot.needed) details[name] = value;
      }
    } catch (error) {
      said.replaceChildren(el("p", { class: "said refused", role: "alert" }, error.message));
      return;
    }
    const one = event(who(), kind, details, { set: set ? set.id : id, visit: newId(), ...(set ? trapIn(set) : {}) });
    const caught = kind.startsWith("catch_") && app.pack;
    const fault = await commit(one.set_id, [one], `${set ? `set ${set.number}` : id}, ${sentence(one, animals())}`, caught ? `#/set/${encodeURIComponent(one.set_id)}/held/${one.id}` : "#/next");
    if (fault) said.replaceChildren(fault);
  }
  return made;
}
