// Guards against an entry at the wrong set: asks once, and never holds an entry back.
import { app, nextStop, seenToday, zone } from "/field/app.js";
import { hour } from "/field/clock.js";

const EARTH = 6371008.8;
// Farther than this beyond what the position is sure of, it is another place.
export const REACH = 60;
const STALE = 120000;
let watching = null;

export function metres(a, b) {
  const turn = Math.PI / 180;
  const up = (b.latitude - a.latitude) * turn;
  const along = (b.longitude - a.longitude) * turn;
  const half = Math.sin(up / 2) ** 2 + Math.cos(a.latitude * turn) * Math.cos(b.latitude * turn) * Math.sin(along / 2) ** 2;
  return 2 * EARTH * Math.asin(Math.min(1, Math.sqrt(half)));
}

export function watch(on) {
  if (watching !== null) navigator.geolocation.clearWatch(watching);
  watching = null;
  app.place = null;
  if (!on || !navigator.geolocation) return;
  watching = navigator.geolocation.watchPosition(
    (found) => { app.place = { ...plain(found.coords), at: Date.now() }; },
    () => { app.place = null; },
    { enableHighAccuracy: true, maximumAge: 20000 },
  );
}

const plain = ({ latitude, longitude, accuracy }) => ({ latitude, longitude, accuracy });

// Reasons to look twice before something is written at a set; none is the usual case.
export function doubts(set, now = new Date()) {
  const found = [];
  if (!set) return ["This set is not in the pack on this device."];
  const here = app.guardOn && app.place && Date.now() - app.place.at < STALE ? app.place : null;
  if (here && set.latitude !== null) {
    const away = metres(here, set);
    if (away > here.accuracy + REACH) {
      found.push(`You are about ${Math.round(away / 0.9144)} yd from set ${set.number}; your position is known to ${Math.round(here.accuracy / 0.9144)} yd.`);
    }
  }
  const seen = seenToday(set, now);
  if (seen) found.push(`Set ${set.number} has an entry of today already, at ${hour(seen, zone())}.`);
  const next = nextStop(now);
  if (!seen && set.stop && next && next.id !== set.id) found.push(`Set ${next.number}, ${next.name}, comes before it in the run.`);
  return found;
}
