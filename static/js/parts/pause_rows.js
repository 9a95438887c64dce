// The pause after a dive as every page shows it: one figure, which counts the dives before it on that day.
import { now } from "../clock.js";
import { takenSeconds } from "../plan/lookups.js";
import { inOrder } from "../plan/surfaced.js";
import { pauseAfter } from "../reader/interval.js";

const AN_EARLIER_ONE = "the pause after an earlier dive is still running"; // for a sheet from before it had the words

/**
 * The dives with a known time of surfacing, in order, as the reader takes them.
 * @param {Sheet} sheet
 * @param {Dive[]} dives
 * @returns {Surfaced[]}
 */
export function surfacedOf(sheet, dives) {
  return inOrder(dives).map(({ dive, ms }) =>
    ({ reached_m: dive.reached_m, dive_s: takenSeconds(sheet, dive).seconds, surfaced_s: ms / 1000 }));
}

/**
 * The pause after the last of these dives by each rule, {name, seconds}: why it is longer first, as one more rule.
 * @param {Sheet} sheet
 * @param {Surfaced[]} dives
 */
export function pauseRows(sheet, dives) {
  const pause = pauseAfter(sheet, dives);
  if (pause === null) return [];
  const { seconds, rules, longer } = pause;
  return longer === null ? rules : [{ name: longer || AN_EARLIER_ONE, seconds }, ...rules];
}

/**
 * The pause after a dive that is still to come, counting today's dives: as if it began now, or once the pause that
 * still runs is over.
 * @param {{ sheet: Sheet, dives: Dive[], today: string }} slate
 * @param {{ reached_m: number, dive_s: number }} next
 */
export function rowsAfterNext({ sheet, dives, today }, next) {
  const before = surfacedOf(sheet, dives.filter((dive) => dive.date === today));
  const over = before.length === 0 ? 0 : before.at(-1).surfaced_s + pauseAfter(sheet, before).seconds;
  const surfaced_s = Math.max(now() / 1000, over) + next.dive_s;
  return pauseRows(sheet, [...before, { ...next, surfaced_s }]);
}
