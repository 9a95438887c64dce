// What the log says of one dive: the worst sign names it, and every sign's consequence holds. Twin of
// webapp/planner/reader/verdict.py.

/** @type {Verdict} */
const CLEAN = { name: "clean", care: [], events: [] };

/**
 * The verdict as {name, care, events}: of its signs, its effort, and whether it reached its target. Each event is
 * [verdict, days], the mildest first.
 * @param {Sheet} sheet
 * @param {Fields} dive
 * @returns {Verdict}
 */
export function judge(sheet, dive) {
  const { numbers, verdicts } = sheet;
  const isHard = dive.effort !== null && dive.effort >= numbers.hard_effort;
  const isTurned = dive.target_m !== null && dive.reached_m < dive.target_m - numbers.tolerance_m;
  if (dive.signs.length === 0 && !isHard && !isTurned) return CLEAN; // most dives of a log
  const signs = dive.signs.map((code) => sheet.signs[code]);
  const days = new Map([["clean", 0]]);
  if (isHard) days.set("hard", 0);
  if (isTurned) days.set("turned", 0);
  for (const { verdict, days: some } of signs) days.set(verdict, Math.max(days.get(verdict) ?? 0, some));
  const events = [...days].sort(([one], [other]) => verdicts[one].rank - verdicts[other].rank);
  const keys = new Set(signs.flatMap((sign) => sign.care));
  return { name: events.at(-1)[0], care: [...keys].flatMap((key) => sheet.care[key]), events };
}

/**
 * Whether a dive was turned for a reason outside the diver, which does not count towards stepping down.
 * @param {Sheet} sheet
 * @param {Fields} dive
 */
export function isOutside(sheet, dive) {
  return Boolean(sheet.turned_whys[dive.turned_why ?? ""]?.outside);
}
