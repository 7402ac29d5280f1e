// Where entries lie on the device. What was kept is safe on its disk before anybody is told so.

export const NAME = "setwright-field";
export const FORM = 2;
// Entries that wait: not sent, or sent and not taken.
export const WAITING = ["unsent", "refused"];

export class NoRoom extends Error {}

function upgrade(base, held, from) {
  if (from < 1) {
    const events = base.createObjectStore("events", { keyPath: "id" });
    events.createIndex("state", "state");
    base.createObjectStore("meta", { keyPath: "key" });
  }
  // Form 2: entries are found by set as well. Nothing that lies there is touched.
  if (from < 2) held.objectStore("events").createIndex("set", "record.set_id");
}

export function open(onGone = () => {}) {
  return new Promise((done, failed) => {
    const asked = indexedDB.open(NAME, FORM);
    asked.onupgradeneeded = (event) => upgrade(asked.result, asked.transaction, event.oldVersion);
    asked.onblocked = () => onGone("Another window of these pages is older: close it, and this one goes on.");
    asked.onsuccess = () => {
      const base = asked.result;
      // A newer page in another window must not wait for this one.
      base.onversionchange = () => {
        base.close();
        onGone("A newer form of these pages was opened in another window: load this one again. Nothing is lost.");
      };
      base.onclose = () => onGone("The store of this device was closed: load the page again.");
      done(base);
    };
    asked.onerror = () => failed(asked.error);
  });
}

function told(error) {
  const full = error && (error.name === "QuotaExceededError" || /quota|space|full/i.test(String(error.message)));
  return full ? new NoRoom("there is no room left on this device") : error || new Error("the device did not keep it");
}

// One transaction; resolves only when the disk has it. Whatever the desk can tell again may be kept with less care.
export function change(base, act, durability = "strict") {
  return new Promise((done, failed) => {
    let held;
    try {
      held = base.transaction(["events", "meta"], "readwrite", { durability });
      held.oncomplete = () => done();
      held.onabort = () => failed(told(held.error));
      held.onerror = (event) => event.preventDefault?.();
      const asked = act(held.objectStore("events"), held.objectStore("meta"));
      for (const one of [asked].flat()) {
        if (one instanceof IDBRequest) one.onerror = (event) => { event.preventDefault(); failed(told(one.error)); abort(held); };
      }
    } catch (error) {
      if (held) abort(held);
      failed(told(error));
    }
  });
}

function abort(held) {
  try {
    held.abort();
  } catch {
    // It has ended by itself.
  }
}

export function everything(base) {
  return new Promise((done, failed) => {
    const held = base.transaction(["events", "meta"], "readonly");
    const events = held.objectStore("events").getAll();
    const meta = held.objectStore("meta").getAll();
    held.oncomplete = () => done({ events: events.result, meta: new Map(meta.result.map((one) => [one.key, one.value])) });
    held.onabort = () => failed(held.error);
  });
}

export const keepMeta = (base, key, value) => change(base, (_, meta) => meta.put({ key, value }));
export const dropMeta = (base, key) => change(base, (_, meta) => meta.delete(key));
