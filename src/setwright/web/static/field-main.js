// The field pages: which screen, and when it is drawn anew.
import { app, load, onChange, open, waiting } from "/field/app.js";
import { aside, el, say } from "/field/dom.js";
import { hour, span } from "/field/clock.js";
import { watch } from "/field/guard.js";
import { busy as syncing, start, sync } from "/field/sync.js";
import * as cards from "/field/cards.js";
import * as held from "/field/held.js";
import * as other from "/field/other.js";
import * as run from "/field/run.js";
import * as set from "/field/set.js";
import * as unsent from "/field/unsent.js";

const here = document.getElementById("here");
let worker = null;

function route() {
  const [place, ...rest] = location.hash.replace(/^#\/?/, "").split("/").map((part) => {
    try {
      return decodeURIComponent(part);
    } catch {
      return part;
    }
  });
  return { place: place || "next", rest };
}

function made({ place, rest }) {
  if (place === "set" && rest[0] && rest[1] === "held") return held.screen(rest[0], rest[2], draw);
  if (place === "set" && rest[0] && rest[1] === "other") return other.screen(rest[0], rest[2], draw);
  if (place === "set" && rest[0]) return set.screen(rest[0], draw);
  if (place === "card" && rest[0]) return cards.card(rest[0]);
  if (place === "cards") return cards.list();
  if (place === "run") return run.screen();
  if (place === "unsent") return unsent.screen();
  return set.nextScreen(draw);
}

// `how`: "" shows another screen, "step" goes on within one, "quiet" only brings figures up to date.
export function draw(how = "") {
  const now = route();
  let page;
  try {
    page = made(now);
  } catch (error) {
    page = aside("This screen cannot be drawn", [`${error.message}. What is kept on the device is not touched.`, el("p", {}, el("a", { href: "#/unsent" }, "Save what waits as a file"))]);
  }
  const top = scrollY;
  here.replaceChildren(page);
  scrollTo(0, how ? top : 0);
  for (const link of document.querySelectorAll(".foot4 a")) link.toggleAttribute("aria-current", link.hash === `#/${now.place}` || (link.hash === "#/next" && now.place === "set") || (link.hash === "#/cards" && now.place === "card"));
  for (const link of document.querySelectorAll(".foot4 a[aria-current]")) link.setAttribute("aria-current", "page");
  if (how === "step") here.querySelector(".ask:last-of-type .pick, .fin button:last-child")?.focus({ preventScroll: true });
  bars();
}

function bars() {
  const rows = waiting();
  document.getElementById("count").textContent = String(rows.length);
  const refused = rows.filter((row) => row.state === "refused").length;
  document.getElementById("count-words").textContent = refused ? `kept here, ${refused} not taken` : "kept here, not yet sent";
  const { state, at } = app.reach;
  const words = state === "reached" ? `desk reached ${hour(new Date(at), app.pack?.line.zone)}` : state === "not reached" ? `no desk at ${hour(new Date(at), app.pack?.line.zone)}; kept all the same` : "works with no signal";
  const age = app.pack ? Date.now() - Date.parse(app.pack.made) : 0;
  document.getElementById("reach").textContent = app.trouble || (age > 86400000 ? `${words}; pack ${span(age)} old` : words);
  document.getElementById("to-unsent").textContent = rows.length ? `Unsent, ${rows.length}` : "Unsent";
  document.getElementById("to-run").textContent = app.pack ? `Run, ${open().length}` : "Run";
}

// Somebody is in the middle of something: the page must not be pulled away under the hand.
const busy = () => here.contains(document.activeElement) && document.activeElement.matches("input, select, textarea");
const halfWritten = () => [...app.drafts.values()].some((one) => one.begun);

function follow(what) {
  bars();
  if (what === "trouble") say(app.trouble);
  const { place, rest } = route();
  const form = place === "set" && (rest[1] || app.drafts.has(rest[0]));
  if (!busy() && !form && !(place === "next" && halfWritten()) && !["kept", "marked"].includes(what)) draw("quiet");
  offer();
}

// A newer version of the pages waits until nothing is half written and nothing waits to be sent.
function offer() {
  app.news = Boolean(worker?.waiting);
  // Asked for in the middle of an exchange, the change of versions may hang until the old one is idle.
  if (app.news && !syncing() && !waiting().length && !halfWritten() && !busy()) takeNewer();
}

export function takeNewer() {
  worker?.waiting?.postMessage("take over");
}

async function keepShell() {
  if (!navigator.serviceWorker) return;
  const before = Boolean(navigator.serviceWorker.controller);
  navigator.serviceWorker.addEventListener("controllerchange", () => {
    if (before && !busy()) location.reload();
  });
  worker = await navigator.serviceWorker.register("/field/worker.js", { scope: "/field", updateViaCache: "none" });
  worker.addEventListener("updatefound", () => worker.installing?.addEventListener("statechange", offer));
  setInterval(() => worker.update().catch(() => {}), 900000);
  offer();
}

async function begin() {
  try {
    await load();
  } catch (error) {
    const newer = error?.name === "VersionError";
    here.replaceChildren(aside(newer ? "A newer form of these pages has written here" : "This device keeps nothing for these pages",
      newer ? "Load this page again with signal: what is kept is not lost, but this older form may not touch it." : `Its store cannot be opened (${error?.message || "no reason given"}). A private window often keeps none: open the pages in a usual one, or write on paper.`));
    document.getElementById("reach").textContent = "nothing can be kept";
    return;
  }
  onChange(follow);
  addEventListener("hashchange", () => draw());
  addEventListener("written", () => {
    draw();
    sync();
  });
  draw();
  watch(app.guardOn);
  start();
  keepShell().catch(() => {});
  setInterval(() => !busy() && !halfWritten() && document.visibilityState === "visible" && ["next", "run"].includes(route().place) && draw("quiet"), 60000);
  document.documentElement.dataset.ready = "yes";
}

begin();
