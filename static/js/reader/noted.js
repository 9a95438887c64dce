// What a day says about a dive that was logged on it: the verdict, and what was not as planned.
// Twin of webapp/planner/reader/noted.py.
import { MINUTE_S, fill, secondsOf } from "./sentences.js";

/**
 * A dive as its day lists it: what it was, its verdict, and its flags.
 * @param {Sheet} sheet
 * @param {Dive} dive
 * @param {Verdict} verdict
 * @param {string[]} flags
 * @returns {DoneDive}
 */
export function noted(sheet, dive, verdict, flags) {
  const { words } = sheet;
  const more = deeperM(sheet, dive);
  const isClean = verdict.name === "clean";
  const found = [...flags];
  if (more) found.push(fill(words[isClean ? "deeper_counts" : "deeper"], { more, depth: dive.target_m }));
  const clean = (more ? "clean_deeper" : "clean") + (flags.length ? "_flagged" : "");
  const says = isClean && (more || flags.length) ? fill(words[clean], { more }) : sheet.verdicts[verdict.name].says;
  found.push(...dive.signs.map((code) => sheet.signs[code].today).filter(Boolean));
  if (dive.lighter_why) found.push(fill(words.lighter, { why: dive.lighter_why }));
  const { id, discipline, role, target_m, reached_m } = dive;
  return { id, discipline, role, target_m, reached_m, verdict: verdict.name, says, flags: found, care: verdict.care };
}

/**
 * The flag of a dive in a stand-down, or of a deep one in days without a deep dive; `forbidden` has why of both.
 * @param {Words} words @param {string[]} forbidden @param {boolean} isDeep
 */
export function notAllowed(words, [stop, early], isDeep) {
  if (stop !== null) return [fill(words.in_stand_down, { why: stop })];
  return early !== null && isDeep ? [early] : [];
}

/** How much deeper than its target a dive was, in tenths of a metre; 0 when it need not be said. */
export function deeperM(sheet, dive) {
  if (dive.target_m === null || dive.reached_m < dive.target_m + sheet.numbers.deeper_m) return 0;
  return Math.round((dive.reached_m - dive.target_m) * 10) / 10;
}

/**
 * The sentence with which a dive ends its day, null when it does not: the verdict's, else a sign's own.
 * @param {Sheet} sheet @param {Dive} dive @param {Verdict} verdict @returns {string}
 */
export function overOf(sheet, dive, verdict) {
  return sheet.verdicts[verdict.name].over ?? dive.signs.map((code) => sheet.signs[code].over).find(Boolean) ?? null;
}

/** The depth to which the signs of a dive limit the rest of its day, null when they do not. */
export function mostM(sheet, dive) {
  const depths = dive.signs.map((code) => sheet.signs[code].most_m).filter((depth_m) => depth_m !== undefined);
  return depths.length ? Math.min(...depths) : null;
}

/**
 * The flag of a dive whose pause was shorter than the dives before it asked for; it needs its times for that.
 * @param {Words} words
 * @param {Dive} dive
 * @param {import("./interval.js").PauseDay} pauses
 */
export function rushed(words, { at, reached_m, dive_s }, pauses) {
  if (at === null || dive_s === null) return [];
  const short = pauses.add({ reached_m, dive_s, surfaced_s: secondsOf(at) });
  if (short === null) return [];
  const [pause, needed] = [Math.floor(short.pause_s / MINUTE_S), Math.ceil(short.needed_s / MINUTE_S)];
  return [fill(words.short_pause, { pause, needed })];
}
