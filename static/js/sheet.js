// What the ladder sheet says of one thing: a sentence, a dive's verdict, the pauses after it. Look-ups only: the
// numbers and the words are the sheet's. webapp/planner/reader/verdict.py, explain.py and interval.py are the authority.

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

/**
 * Return the pause after the last of a day's dives, {seconds, rules, longer}, or null when there are none.
 * `dives` are in order, each {reached_m, dive_s, surfaced_s}; `longer` says why it is longer than
 * the rules ask for after this dive: repetition, or an earlier dive's pause that still runs; else it is null.
 */
export function pauseAfter(sheet, dives) {
  if (dives.length === 0) return null;
  const pause = pauseOfLast(sheet, dives), now_s = dives.at(-1).surfaced_s;
  dives.slice(0, -1).forEach((dive, at) => {
    const left_s = Math.ceil(pauseOfLast(sheet, dives.slice(0, at + 1)).seconds - (now_s - dive.surfaced_s));
    // a sheet from before this was known has no words for it
    if (left_s > pause.seconds) Object.assign(pause, { seconds: left_s, longer: fill(sheet.words.still_running ?? "", { depth: dive.reached_m }) });
  });
  return pause;
}

function pauseOfLast(sheet, dives) {
  const last = dives.at(-1), { repetition } = sheet.interval, rules = intervals(sheet, last.reached_m, last.dive_s);
  const seconds = rules.length ? rules[0].seconds : 0, since = last.surfaced_s - 60 * repetition.within_min;
  const deep = dives.filter((dive) => dive.reached_m >= repetition.deep_m && dive.surfaced_s >= since);
  if (deep.length < repetition.dives || last.reached_m < repetition.deep_m) return { seconds, rules, longer: null };
  const nth = deep.length < sheet.words.ordinals.length ? sheet.words.ordinals[deep.length] : `${deep.length}.`;
  const longer = fill(sheet.words.repeated, { nth, depth: repetition.deep_m, minutes: repetition.within_min });
  return { seconds: Math.ceil(seconds * repetition.factor), rules, longer };
}
