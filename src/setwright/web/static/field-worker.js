// Keeps the shell of the field pages on the device. It holds files only: entries live elsewhere and are never touched here.
const SHELL = "VERSION";
const PARTS = "FILES";
const KEPT = "setwright-field-";

self.addEventListener("install", (event) => {
  const fresh = PARTS.map((part) => new Request(part, { cache: "reload" }));
  event.waitUntil(caches.open(KEPT + SHELL).then((kept) => kept.addAll(fresh)));
});

async function tidy() {
  for (const name of await caches.keys()) {
    if (name.startsWith(KEPT) && name !== KEPT + SHELL) await caches.delete(name);
  }
  await self.clients.claim();
}

self.addEventListener("activate", (event) => event.waitUntil(tidy()));

// A newer version waits until the page says that nothing is half written.
self.addEventListener("message", (event) => {
  if (event.data === "take over") self.skipWaiting();
  if (event.data === "which") event.ports[0].postMessage(SHELL);
});

async function held(request, path) {
  const kept = await caches.open(KEPT + SHELL);
  return (await kept.match(path)) || fetch(request);
}

self.addEventListener("fetch", (event) => {
  const asked = new URL(event.request.url);
  if (event.request.method !== "GET" || asked.origin !== self.location.origin) return;
  if (PARTS.includes(asked.pathname)) event.respondWith(held(event.request, asked.pathname));
});
