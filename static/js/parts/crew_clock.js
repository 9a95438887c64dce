// A dive of the crew's list on this phone's dive clock: it runs from the moment when the dive was touched.
import { localDay } from "../clock.js";
import { changeClocks } from "../store/clocks.js";
import { timesOfCard, timesTyped, wholeOf } from "../timing/dive_clock.js";
import { rungOf } from "../plan/lookups.js";
import { overdueNumbers } from "./clock_words.js";

/**
 * Begin the clock of a dive; its id is the dive's, so that a second touch begins no second clock.
 * @param {Slate} slate @param {any} turn @param {{ name: string, safety: string, plan: number | null, ms: number }} of
 */
export function beginClock(slate, turn, { name, safety, plan, ms }) {
  const { id, discipline, role, depth_m, dive_s } = turn;
  const card = name === "" ? rungOf(slate.sheet, { discipline, target_m: depth_m }) : null;
  const times = card?.card ? timesOfCard(card) : dive_s ? timesTyped({ total_s: dive_s, leave_s: null }, overdueNumbers)
    : null;
  const clock = { id, day: localDay(ms), name, discipline, role, target_m: depth_m, safety, plan, times,
    started_ms: ms, official_ms: null, bottom_ms: null, surfaced_ms: null, logged: null, done: false, touched_ms: ms };
  return changeClocks(slate.user, (kept) =>
    /** @type {any} */ ([...wholeOf(kept).filter((one) => one.id !== id), clock]));
}

/** The diver is back at the surface. @param {Slate} slate @param {string} id @param {number} ms */
export function endClock(slate, id, ms) {
  const ended = (one) => (one.id === id && !one.surfaced_ms ? { ...one, surfaced_ms: ms, touched_ms: ms } : one);
  return changeClocks(slate.user, (kept) => wholeOf(kept).map(ended));
}

/** The diver is still in the water: the clock runs on. @param {Slate} slate @param {string} id @param {number} ms */
export function goOn(slate, id, ms) {
  const open = (one) => (one.id === id ? { ...one, surfaced_ms: null, done: false, touched_ms: ms } : one);
  return changeClocks(slate.user, (kept) => wholeOf(kept).map(open));
}

/** The dive has not begun: it has no clock. @param {Slate} slate @param {string} id */
export function dropClock(slate, id) {
  return changeClocks(slate.user, (kept) => wholeOf(kept).filter((one) => one.id !== id));
}
