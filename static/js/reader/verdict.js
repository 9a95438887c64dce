// What the log says of one dive: the worst sign decides. Twin of webapp/planner/reader/verdict.py.

/**
 * The verdict as {name, days of a stand-down, care}: of its signs, its effort, and whether it reached its target.
 * @param {Sheet} sheet
 * @param {Fields} dive
 * @returns {Verdict}
 */
export function judge(sheet, dive) {
  const { numbers, verdicts } = sheet;
  const signs = dive.signs.map((code) => sheet.signs[code]);
  const found = ["clean", ...signs.map((sign) => sign.verdict)];
  if (dive.effort !== null && dive.effort >= numbers.hard_effort) found.push("hard");
  if (dive.target_m !== null && dive.reached_m < dive.target_m - numbers.tolerance_m) found.push("turned");
  const name = found.reduce((worst, one) => (verdicts[one].rank > verdicts[worst].rank ? one : worst));
  const keys = new Set(signs.flatMap((sign) => sign.care));
  const care = [...keys].flatMap((key) => sheet.care[key]);
  return { name, days: Math.max(0, ...signs.map((sign) => sign.days)), care };
}
