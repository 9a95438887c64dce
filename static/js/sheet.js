// What the ladder sheet says of one thing: a sentence, a dive's verdict, the pauses after it. Look-ups only: the
// numbers and the words are the sheet's. webapp/planner/verdict.py, explain.py and interval.py are the authority.

export function fill(template, values) {
  return Object.entries(values).reduce((text, [name, value]) => text.replaceAll(`{${name}}`, () => String(value)), template);
}

export function dateWords(day, words) {
  return `${Number(day.slice(8, 10))} ${words.months[Number(day.slice(5, 7)) - 1]}`;
}

export function judge(sheet, dive) {
  const signs = dive.signs.map((code) => sheet.signs[code]);
  const found = ["clean", ...signs.map((sign) => sign.verdict)];
  if (dive.effort !== null && dive.effort >= sheet.numbers.hard_effort) found.push("hard");
  if (dive.target_m !== null && dive.reached_m < dive.target_m - sheet.numbers.tolerance_m) found.push("turned");
  const name = found.reduce((worst, one) => (sheet.verdicts[one].rank > sheet.verdicts[worst].rank ? one : worst));
  const care = [...new Set(signs.flatMap((sign) => sign.care))].flatMap((key) => sheet.care[key]);
  return { name, days: Math.max(0, ...signs.map((sign) => sign.days)), care };
}

/** Return each rule's pause after a dive as {name, seconds}, the longest first. */
export function intervals(sheet, reached_m, dive_s) {
  const { bars, rules } = sheet.interval;
  const bar = bars[Math.min(Math.ceil(reached_m), bars.length - 1)];
  return rules
    .filter((rule) => reached_m >= rule.from_m)
    .map((rule) => ({
      name: rule.name,
      seconds: Math.ceil(dive_s * rule.per_dive + dive_s * bar * rule.per_dive_bar + reached_m * rule.per_m + rule.fixed_s),
    }))
    .filter((pause) => pause.seconds > 0)
    .sort((one, other) => other.seconds - one.seconds);
}
