// The one place on the phone that asks the time. Pauses are worked out from moments, never counted: a locked phone sleeps.
const two = (number) => String(number).padStart(2, "0");

export function now() {
  return Date.now();
}

export function localDay(ms = now()) {
  const at = new Date(ms);
  return `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())}`;
}

export function localTime(ms = now()) {
  const at = new Date(ms);
  return `${two(at.getHours())}:${two(at.getMinutes())}`;
}

/** Minutes that local time is ahead of UTC. */
export function offsetMinutes(ms = now()) {
  return -new Date(ms).getTimezoneOffset();
}

/** A moment as the records write it: UTC, whole seconds. */
export function instant(ms = now()) {
  return `${new Date(ms).toISOString().slice(0, 19)}Z`;
}

/** Milliseconds of a local date and time of day, or null. */
export function localMoment(day, time) {
  const ms = Date.parse(`${day}T${time}:00`);
  return Number.isNaN(ms) ? null : ms;
}

/** The day after this one. */
export function dayAfter(day) {
  const [year, month, date] = day.split("-").map(Number);
  return localDay(new Date(year, month - 1, date + 1).getTime());
}
