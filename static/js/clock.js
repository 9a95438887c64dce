// The only file of the phone that reads the clock. Pauses are calculated from moments, never counted: a locked phone
// sleeps.
const twoDigits = (number) => String(number).padStart(2, "0");

export function now() {
  return Date.now();
}

export function localDay(ms = now()) {
  const date = new Date(ms);
  return `${date.getFullYear()}-${twoDigits(date.getMonth() + 1)}-${twoDigits(date.getDate())}`;
}

export function localTime(ms = now()) {
  const date = new Date(ms);
  return `${twoDigits(date.getHours())}:${twoDigits(date.getMinutes())}`;
}

/** Minutes that local time is ahead of UTC. */
export function offsetMinutes(ms = now()) {
  return -new Date(ms).getTimezoneOffset();
}

/** A moment as the records store it: UTC, whole seconds. */
export function instant(ms = now()) {
  return `${new Date(ms).toISOString().slice(0, 19)}Z`;
}

/** Milliseconds of a local date and time of day, or null. */
export function localMoment(day, time) {
  const ms = Date.parse(`${day}T${time}:00`);
  return Number.isNaN(ms) ? null : ms;
}

/** The day this many days after this one. @param {string} day */
export function dayAfter(day, days = 1) {
  const [year, month, date] = day.split("-").map(Number);
  return localDay(new Date(year, month - 1, date + days).getTime());
}
