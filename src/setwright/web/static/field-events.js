// Makes events as the log wants them; what nobody said stays unknown.
import TABLE from "/field/kinds.js";
import { iso } from "/field/clock.js";

export const KINDS = TABLE.kinds;
export const INJURIES = TABLE.injuries;
export const GROUPS = TABLE.groups;
export const LOOKS = new Set(TABLE.looks);
export const WORDS = (kind) => KINDS[kind]?.words || kind;
const FIELDS = ["id", "device", "kind", "time", "written", "set_id", "trap_id", "rig_id", "visitor", "visit", "place", "corrects", "details"];

export function newId() {
  if (crypto.randomUUID) return crypto.randomUUID();
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  bytes[6] = (bytes[6] & 15) | 64;
  bytes[8] = (bytes[8] & 63) | 128;
  const hex = [...bytes].map((one) => one.toString(16).padStart(2, "0")).join("");
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join("-");
}

function blank(kind) {
  return Object.fromEntries(Object.entries(KINDS[kind].slots).filter(([, slot]) => slot.needed).map(([name]) => [name, null]));
}

// `who` has device, visitor and zone; `of` has set, trap, rig, visit, place, time, corrects.
export function event(who, kind, details, of = {}) {
  const time = of.time || new Date();
  const given = { trap_id: KINDS[kind].of_a_trap ? of.trap || null : null, rig_id: KINDS[kind].of_a_trap || kind === "declared" ? of.rig || null : null };
  const made = {
    id: newId(), device: who.device, kind, time: iso(time, who.zone), written: iso(new Date(), who.zone),
    set_id: of.set || null, ...given, visitor: who.visitor || null, visit: of.visit || newId(), place: of.place || 0,
    corrects: of.corrects || null, details: { ...blank(kind), ...details },
  };
  return Object.fromEntries(FIELDS.map((name) => [name, made[name]]));
}

// One event a line, every field named: what the log takes in as a file.
export const lines = (records) => records.map((record) => JSON.stringify(record) + "\n").join("");

// Events as they stand: voided ones gone, corrections applied in the order in which they were written.
export function standing(records) {
  const byId = new Map(records.map((record) => [record.id, record]));
  const gone = new Set(records.filter((one) => one.kind === "void" && byId.get(one.corrects)?.kind !== "void").map((one) => one.corrects));
  const found = records.filter((one) => one.kind !== "void" && one.kind !== "correction" && !gone.has(one.id)).map((one) => ({ ...one }));
  const now = new Map(found.map((one) => [one.id, one]));
  for (const one of records.filter((record) => record.kind === "correction" && !gone.has(record.id)).sort(inOrder)) {
    const wrong = now.get(one.corrects);
    const { details = {}, ...rest } = one.details.changes || {};
    if (wrong) Object.assign(wrong, rest, { details: { ...(rest.kind && rest.kind !== wrong.kind ? {} : wrong.details), ...details } });
  }
  return found.sort(inOrder);
}

export function inOrder(a, b) {
  return Date.parse(a.time) - Date.parse(b.time) || a.place - b.place || (a.id < b.id ? -1 : 1);
}

// A short sentence about an event for lists.
export function sentence(record, animals = new Map()) {
  const found = [WORDS(record.kind)];
  const { species, species_guess: guess, evidence, cause, part, injuries, reason, act, note } = record.details || {};
  if (species || guess) found.push(animals.get(species || guess) || (species || guess).replaceAll("_", " "));
  for (const one of [evidence, cause, part, reason, act, note]) if (one) found.push(one);
  if (Array.isArray(injuries)) found.push(injuries.length ? `${injuries.length} injuries` : "no injury seen");
  return found.join(", ");
}
