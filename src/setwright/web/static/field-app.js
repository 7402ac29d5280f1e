// What these pages know, all of it from the device's own store.
import * as store from "/field/store.js";
import { standing, LOOKS, event } from "/field/events.js";
import { dayOf, iso } from "/field/clock.js";

export const app = {
  base: null, pack: null, rows: new Map(), session: null, device: "", name: "", guardOn: false, place: null,
  reach: { state: "not tried", at: null, words: "" }, after: null, drafts: new Map(), kept: null, last: null, trouble: "", news: false,
};
const listeners = new Set();
const told = "BroadcastChannel" in self ? new BroadcastChannel("setwright-field") : null;
let folded = null;

export const onChange = (act) => listeners.add(act);

export function changed(what = "") {
  folded = null;
  for (const act of listeners) act(what);
}

function take(found) {
  app.rows = new Map(found.events.map((row) => [row.id, row]));
  app.pack = found.meta.get("pack") || null;
  app.after = found.meta.get("after") ?? null;
  app.device = found.meta.get("device") || "";
  app.name = found.meta.get("name") || "";
  app.guardOn = Boolean(found.meta.get("guard"));
  app.kept = found.meta.get("kept") ?? null;
  app.last = found.meta.get("last") || null;
  for (const [key, value] of found.meta) if (key.startsWith("draft:")) app.drafts.set(key.slice(6), value);
}

export async function load() {
  app.base = await store.open((words) => {
    app.trouble = words;
    changed("trouble");
  });
  take(await store.everything(app.base));
  if (!app.device) {
    app.device = "field-" + [...crypto.getRandomValues(new Uint8Array(3))].map((one) => one.toString(16).padStart(2, "0")).join("");
    await store.keepMeta(app.base, "device", app.device).catch(() => {});
  }
  told?.addEventListener("message", reread);
}

// Another window wrote: read again.
export async function reread() {
  const drafts = app.drafts;
  take(await store.everything(app.base));
  app.drafts = drafts;
  changed("elsewhere");
}

const announce = () => told?.postMessage("written");

export const zone = () => app.pack?.line.zone;
export const units = () => (app.pack?.line.units === "metric" ? "metric" : "us");
export const line = () => app.pack?.line.name ?? null;
export const who = () => ({ device: app.device, visitor: app.name || null, zone: zone() });
export const waiting = () => [...app.rows.values()].filter((row) => store.WAITING.includes(row.state));
export const mayWrite = () => !app.pack || app.pack.person.may.includes("log");

function fold() {
  if (!folded) folded = standing([...app.rows.values()].filter((row) => row.state !== "aside" && (row.line === null || row.line === line())).map((row) => row.record));
  return folded;
}

export const ofSet = (id) => fold().filter((record) => record.set_id === id);
export const setOf = (id) => app.pack?.sets.find((one) => one.id === id || String(one.number) === id) || null;
export const animals = () => new Map((app.pack?.animals || []).map((one) => [one.key, one.name]));

// Writes events down; resolves when the disk has them. Throws NoRoom when it has not: then nothing was written.
export async function keep(records, more = () => []) {
  const rows = records.map((record) => ({ id: record.id, record, state: "unsent", reason: "", line: line(), kept: Date.now() }));
  await store.change(app.base, (events, meta) => [...rows.map((row) => events.put(row)), ...more(meta)]);
  for (const row of rows) app.rows.set(row.id, row);
  announce();
  changed("kept");
}

export async function mark(changes) {
  const rows = changes.filter(([id]) => app.rows.has(id)).map(([id, part]) => ({ ...app.rows.get(id), ...part }));
  if (!rows.length) return;
  await store.change(app.base, (events) => rows.map((row) => events.put(row)), "relaxed");
  for (const row of rows) app.rows.set(row.id, row);
  announce();
  changed("marked");
}

// Events of other devices, and own ones that came back: both are safe in the log of the line.
export async function receive(records, after) {
  const rows = records.filter((record) => app.rows.get(record.id)?.state !== "sent").map((record) => ({ ...(app.rows.get(record.id) || { id: record.id, line: line(), kept: Date.now() }), record, state: "sent", reason: "" }));
  await store.change(app.base, (events, meta) => [...rows.map((row) => events.put(row)), meta.put({ key: "after", value: after })], "relaxed");
  for (const row of rows) app.rows.set(row.id, row);
  app.after = after;
  if (rows.length) {
    announce();
    changed("received");
  }
}

const OLD = 14 * 86400000;

const ours = (record, pack) => !record.set_id || pack.sets.some((one) => one.id === record.set_id);

// What was written before any pack was here gets its line, and the same moments by the clock of that line.
function adopt(row, pack) {
  const again = (time) => (time ? iso(new Date(time), pack.line.zone) : null);
  return { ...row, line: pack.line.name, record: { ...row.record, time: again(row.record.time), written: again(row.record.written) } };
}

// A new pack holds what older entries said: those that are safe elsewhere may go, those that wait never.
export async function usePack(pack) {
  const other = app.pack && app.pack.line.name !== pack.line.name;
  const limit = Date.now() - OLD;
  const gone = [...app.rows.values()].filter((row) => row.state === "sent" && (other || Date.parse(row.record.time) < limit));
  const after = other || app.after === null ? pack.log_last : app.after;
  const adopted = waiting().filter((row) => row.line === null && ours(row.record, pack)).map((row) => adopt(row, pack));
  await store.change(app.base, (events, meta) => [
    ...gone.map((row) => events.delete(row.id)), ...adopted.map((row) => events.put(row)), meta.put({ key: "pack", value: pack }), meta.put({ key: "after", value: after }),
  ]);
  for (const row of gone) app.rows.delete(row.id);
  for (const row of adopted) app.rows.set(row.id, row);
  app.pack = pack;
  app.after = after;
  announce();
  changed("pack");
}

export async function setting(key, value) {
  app[key] = value;
  await store.keepMeta(app.base, key === "guardOn" ? "guard" : key, value);
}

export async function draft(id, value) {
  if (value) app.drafts.set(id, value);
  else app.drafts.delete(id);
  await (value ? store.keepMeta(app.base, "draft:" + id, value) : store.dropMeta(app.base, "draft:" + id)).catch(() => {});
}

const SEEN = (record) => LOOKS.has(record.kind) || ["set", "reset", "pulled"].includes(record.kind);

// Last time a set was seen or worked at, from the entries here or from the log as the pack has it.
export function lastSeen(set) {
  const here = ofSet(set.id).filter(SEEN).at(-1);
  const before = set.state?.seen ? Date.parse(set.state.seen) : null;
  const now = here ? Date.parse(here.time) : null;
  return now === null || (before !== null && before > now) ? (before === null ? null : new Date(before)) : new Date(now);
}

export function seenToday(set, now = new Date()) {
  const seen = lastSeen(set);
  return seen && dayOf(seen, zone()) === dayOf(now, zone()) ? seen : null;
}

const PHASES = {
  set: "armed", reset: "armed", checked: "armed", sprung_empty: "sprung", escape: "sprung", catch_target: "holding", catch_nontarget: "holding",
  inoperative: "out of order", release: "sprung", dispatch: "sprung", submerged_dead: "sprung", pulled: "pulled",
};

export function phaseOf(set) {
  const here = ofSet(set.id).filter((record) => PHASES[record.kind]).at(-1);
  return here ? PHASES[here.kind] : set.state?.phase || "unknown";
}

export const trapIn = (set) => {
  const here = ofSet(set.id).filter((record) => record.trap_id).at(-1);
  return here ? { trap: here.trap_id, rig: here.rig_id } : { trap: set.state?.trap || set.expected.trap, rig: set.state?.trap ? set.state.rig : set.expected.rig };
};

export const inRun = () => (app.pack?.sets || []).filter((one) => one.stop).sort((a, b) => a.stop.order - b.stop.order);

// The stop that comes next: after the last one seen today, in the order of the run.
export function nextStop(now = new Date()) {
  const stops = inRun().filter((one) => phaseOf(one) !== "pulled");
  const seen = stops.map((one, at) => [seenToday(one, now), at]).filter(([when]) => when).sort((a, b) => a[0] - b[0]);
  const from = seen.length ? seen.at(-1)[1] + 1 : 0;
  const order = [...stops.slice(from), ...stops.slice(0, from)];
  return order.find((one) => !seenToday(one, now)) || null;
}

export const open = (now = new Date()) => inRun().filter((one) => phaseOf(one) !== "pulled" && !seenToday(one, now));

// Takes the last visit back: each entry of it stays, and another says that it is void.
export async function takeBack(visit) {
  const last = fold().filter((record) => record.visit === visit && record.device === app.device);
  const made = last.map((record) => event(who(), "void", { reason: "taken back on the device" }, { set: record.set_id, corrects: record.id, visit }));
  if (made.length) await keep(made);
  return made.length;
}
