// Sends what waits and fetches what others wrote. It tries and sees; it never asks whether there is a signal.
import { app, changed, mark, receive, usePack, waiting } from "/field/app.js";

const BATCH = 1000;
const PATIENCE = 20000;
const OFTEN = 20000;
let running = null;

async function asked(path, given = {}) {
  let answer;
  try {
    answer = await fetch(path, { cache: "no-store", credentials: "same-origin", redirect: "manual", signal: AbortSignal.timeout(PATIENCE), ...given });
  } catch {
    throw new Error("no answer from the desk");
  }
  if (answer.type === "opaqueredirect" || answer.status === 401) throw Object.assign(new Error("log in first"), { login: true });
  return answer;
}

async function read(answer) {
  const found = await answer.json().catch(() => ({}));
  if (!answer.ok) throw new Error(found.detail || `the desk answered ${answer.status}`);
  return found;
}

async function greet() {
  app.session = await read(await asked("/api/session"));
  app.session.ahead = Date.now() - Date.parse(app.session.now);
}

async function send(records, again = true) {
  const answer = await asked("/api/events", {
    method: "POST", body: JSON.stringify({ events: records }),
    headers: { "Content-Type": "application/json", "X-Token": app.session.token },
  });
  // The desk was started anew: its token is another one now.
  if (answer.status === 403 && again) {
    await greet();
    return send(records, false);
  }
  return read(answer);
}

const elsewhere = (row) => row.line !== null && row.line !== app.session.line;

// Entries of another line are never sent to this one; entries of no line only to sets that this one has.
function due(all) {
  const known = new Set((app.pack?.sets || []).map((one) => one.id));
  return waiting().filter((row) => {
    if (elsewhere(row) || (row.line === null && row.record.set_id && !known.has(row.record.set_id))) return false;
    return all || row.state === "unsent";
  });
}

async function push(all) {
  const rows = due(all);
  for (let at = 0; at < rows.length; at += BATCH) {
    const part = rows.slice(at, at + BATCH);
    const told = await send(part.map((row) => row.record));
    if (told.line !== app.session.line) throw new Error("another line was opened at the desk");
    const safe = new Set([...told.added, ...told.known]);
    const reasons = new Map(told.refused.map((one) => [part[one.at]?.id, one.field ? `${one.field}: ${one.reason}` : one.reason]));
    for (const id of told.conflicts) reasons.set(id, "the log has other words under this name already; those stay");
    await mark(part.map((row) => [row.id, reasons.has(row.id) ? { state: "refused", reason: reasons.get(row.id) } : safe.has(row.id) ? { state: "sent", reason: "" } : {}]));
  }
}

async function pull() {
  for (let more = true; more; ) {
    const from = app.after ?? 0;
    const page = await read(await asked(`/api/events?after=${from}&most=1000`));
    // A log that was put back from a backup counts anew.
    if (page.last < from) {
      await receive([], 0);
      continue;
    }
    if (page.events.length || page.last !== from) await receive(page.events, page.last);
    more = page.more;
  }
}

async function fetchPack() {
  const same = app.pack && app.pack.line.name === app.session.line && app.pack.person.name === app.session.name;
  const answer = await asked("/api/field-pack", { headers: same ? { "If-None-Match": `"${app.pack.digest}"` } : {} });
  if (answer.status === 304) {
    app.packChecked = Date.now();
    return;
  }
  await usePack(await read(answer));
  app.packChecked = Date.now();
}

async function all(every) {
  let words = "";
  try {
    await greet();
    // Names go along with entries that are made from now on.
    if (app.session.name && !app.name) app.name = app.session.name;
    if (!app.pack || app.pack.line.name !== app.session.line || every || Date.now() - (app.packChecked || 0) > 300000) {
      // A line that is being planned, or cannot be, has no pack just now; entries go their way all the same.
      await fetchPack().catch((error) => { words = `no newer pack: ${error.message}`; });
    }
    if (app.session.may.includes("log")) await push(every);
    await pull();
    app.reach = { state: "reached", at: Date.now(), words };
  } catch (error) {
    app.reach = { state: "not reached", at: Date.now(), words: error.message, login: Boolean(error.login) };
  }
  changed("reach");
}

// One window syncs at a time; who comes meanwhile is served by the next round.
export function sync(every = false) {
  if (!running) {
    const act = () => all(every);
    const locked = navigator.locks ? navigator.locks.request("setwright-sync", act) : act();
    running = Promise.resolve(locked).finally(() => {
      running = null;
      changed("quiet now");
    });
  }
  return running;
}

export const busy = () => running !== null;

export function start() {
  sync(true);
  setInterval(() => document.visibilityState === "visible" && sync(), OFTEN);
  // Only hints to try sooner.
  addEventListener("online", () => sync());
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && sync());
}
