// The stand-down: no diving until a doctor's clearance is recorded, and never before a date.
// Twin of webapp/planner/reader/standdown.py. A stand-down is {since, until, what, care}; days are day numbers.
import { dateWords, fill } from "./sentences.js";

const DAY_MS = 86400000;

/**
 * Whether a clearance was recorded by day `n`; it must be dated after the day of the event.
 * @param {Stop} stop
 * @param {number[]} cleared
 * @param {number} n
 */
export function isCleared(stop, cleared, n) {
  return cleared.some((day) => stop.since < day && day <= n);
}

/**
 * Whether there is no diving on day `n`.
 * @param {Stop} stop
 * @param {number[]} cleared
 * @param {number} n
 */
export function holds(stop, cleared, n) {
  return stop !== null && !(n >= stop.until && isCleared(stop, cleared, n));
}

/**
 * The stand-down after one more event: it asks for a new clearance and ends no earlier.
 * @param {Stop} stop
 * @param {number[]} cleared
 * @param {Stop} fresh
 * @returns {Stop}
 */
export function widened(stop, cleared, fresh) {
  if (!holds(stop, cleared, fresh.since)) return fresh;
  return { ...fresh, until: Math.max(stop.until, fresh.until) };
}

/** What the sentences of a stand-down need. @param {Words} words @param {Stop} stop */
export function stopValues(words, stop) {
  return { what: words[`what_${stop.what}`], date: dateWords(iso(stop.since), words),
    until: dateWords(iso(stop.until), words) };
}

/**
 * The sentence of the stand-down as it stands on day `n`.
 * @param {Words} words
 * @param {Stop} stop
 * @param {number[]} cleared
 * @param {number} n
 */
export function stopSays(words, stop, cleared, n) {
  return fill(words[isCleared(stop, cleared, n) ? "stand_down_cleared" : "stand_down"], stopValues(words, stop));
}

/** The ISO date of a day number. @param {number} n */
export function iso(n) {
  return new Date(n * DAY_MS).toISOString().slice(0, 10);
}
