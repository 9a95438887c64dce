// When dives surfaced, according to their records.
import { localMoment } from "../clock.js";

/**
 * When this dive surfaced, in milliseconds, or null when its record does not say.
 * @param {Dive} dive
 * @returns {number}
 */
function surfaced(dive) {
  if (dive.surfaced_at) return Date.parse(dive.surfaced_at);
  return dive.at ? localMoment(dive.date, dive.at) : null;
}

/**
 * The dives with a known time of surfacing as {dive, ms}, in order of that time; the others are left out.
 * @param {Dive[]} dives
 */
export function inOrder(dives) {
  const known = dives.map((dive) => ({ dive, ms: surfaced(dive) })).filter(({ ms }) => ms !== null);
  return known.sort((first, second) => first.ms - second.ms);
}
