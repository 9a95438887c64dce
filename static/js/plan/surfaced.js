// When dives surfaced, by their records.
import { localMoment } from "../clock.js";

/** When this dive surfaced, in milliseconds, or null when its record does not say. */
export function surfaced(dive) {
  if (dive.surfaced_at) return Date.parse(dive.surfaced_at);
  return dive.at ? localMoment(dive.date, dive.at) : null;
}

/** The dives whose record says when they surfaced, as {dive, ms}, in that order; the others have no place in it. */
export function inOrder(dives) {
  const known = dives.map((dive) => ({ dive, ms: surfaced(dive) })).filter(({ ms }) => ms !== null);
  return known.sort((one, other) => one.ms - other.ms);
}
