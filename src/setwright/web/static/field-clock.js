// Times of the line's own zone, whatever zone the device is set to.

const PARTS = { year: "numeric", month: "2-digit", day: "2-digit", hour: "2-digit", minute: "2-digit", second: "2-digit", hourCycle: "h23" };
const makers = new Map();

function parts(moment, zone) {
  if (!makers.has(zone)) makers.set(zone, new Intl.DateTimeFormat("en-CA", { ...PARTS, ...(zone ? { timeZone: zone } : {}) }));
  return Object.fromEntries(makers.get(zone).formatToParts(moment).map((part) => [part.type, part.value]));
}

const two = (number) => String(number).padStart(2, "0");

// Minutes that the clock of a zone is ahead of UTC at a moment.
export function offsetOf(moment, zone) {
  const read = parts(moment, zone);
  const wall = Date.UTC(read.year, read.month - 1, read.day, read.hour, read.minute, read.second);
  return Math.round((wall - Math.floor(moment.getTime() / 1000) * 1000) / 60000);
}

export function iso(moment, zone) {
  const read = parts(moment, zone);
  const offset = offsetOf(moment, zone);
  const size = Math.abs(offset);
  const sign = offset < 0 ? "-" : "+";
  return `${read.year}-${read.month}-${read.day}T${read.hour}:${read.minute}:${read.second}${sign}${two(Math.floor(size / 60))}:${two(size % 60)}`;
}

export function dayOf(moment, zone) {
  const read = parts(moment, zone);
  return `${read.year}-${read.month}-${read.day}`;
}

export function hour(moment, zone) {
  const read = parts(moment, zone);
  return `${read.hour}:${read.minute}`;
}

export function dayAndHour(moment, zone) {
  const day = new Intl.DateTimeFormat("en-US", { weekday: "short", day: "numeric", month: "short", ...(zone ? { timeZone: zone } : {}) });
  const read = Object.fromEntries(day.formatToParts(moment).map((part) => [part.type, part.value]));
  return `${read.weekday} ${read.day} ${read.month} ${hour(moment, zone)}`;
}

// An hour where the day is today's, the day with it otherwise.
export function shortly(moment, zone, now = new Date()) {
  return dayOf(moment, zone) === dayOf(now, zone) ? hour(moment, zone) : dayAndHour(moment, zone);
}

export function span(milliseconds) {
  const minutes = Math.floor(Math.abs(milliseconds) / 60000);
  if (minutes < 60) return `${minutes} min`;
  if (minutes < 2880) return `${Math.floor(minutes / 60)} h ${two(minutes % 60)}`;
  return `${Math.floor(minutes / 1440)} days`;
}

// The moment at which a clock of the zone shows these figures.
export function momentAt(year, month, day, hours, minutes, zone) {
  const wall = Date.UTC(year, month, day, hours, minutes);
  let found = new Date(wall);
  for (let again = 0; again < 3; again += 1) found = new Date(wall - offsetOf(found, zone) * 60000);
  return found;
}

// Last moment of a duty: clock hours from the event, or the midnight that ends so many calendar days after it.
export function limitOf(moment, within, zone) {
  const hours = /^PT(\d+(?:\.\d+)?)H$/.exec(within);
  if (hours) return new Date(moment.getTime() + Number(hours[1]) * 3600000);
  const days = /^P(\d+)D$/.exec(within);
  if (!days) return null;
  const read = parts(moment, zone);
  return momentAt(Number(read.year), Number(read.month) - 1, Number(read.day) + Number(days[1]) + 1, 0, 0, zone);
}

export function withinWords(within) {
  const hours = /^PT(.+)H$/.exec(within);
  const days = /^P(.+)D$/.exec(within);
  if (hours) return `within ${hours[1]} hours`;
  if (days) return days[1] === "1" ? "by the end of the next day" : `by the end of the ${days[1]}th day after`;
  return within;
}

// A time of today as written by hand, such as 07:10; null when it is none, or is still to come.
export function todayAt(text, zone, now = new Date()) {
  const read = /^(\d{1,2}):(\d{2})$/.exec(text.trim());
  if (!read || Number(read[1]) > 23 || Number(read[2]) > 59) return null;
  const day = parts(now, zone);
  const found = momentAt(Number(day.year), Number(day.month) - 1, Number(day.day), Number(read[1]), Number(read[2]), zone);
  return found > now || hour(found, zone) !== `${two(read[1])}:${read[2]}` ? null : found;
}
