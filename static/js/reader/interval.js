// The surface interval: the chosen rules as rows of plain factors. Twin of webapp/planner/reader/interval.py.
import { fill, nth } from "./sentences.js";

/**
 * The pause after the last of a day's dives as {seconds, rules, longer}, or null when there are none.
 * `dives` are in order, each {reached_m, dive_s, surfaced_s}. What is left of an earlier dive's pause goes on: a
 * shallow dive in between does not shorten it. `longer` says why it is longer than the rules ask for after this dive,
 * or null.
 * @param {Sheet} sheet
 * @param {Surfaced[]} dives
 */
export function pauseAfter(sheet, dives) {
  if (dives.length === 0) return null;
  const nowS = dives.at(-1).surfaced_s;
  let pause = pauseOfLast(sheet, dives);
  dives.slice(0, -1).forEach((dive, index) => {
    const leftS = Math.ceil(pauseOfLast(sheet, dives.slice(0, index + 1)).seconds - (nowS - dive.surfaced_s));
    if (leftS <= pause.seconds) return;
    // a sheet from before this was known has no words for it
    pause = { ...pause, seconds: leftS, longer: fill(sheet.words.still_running ?? "", { depth: dive.reached_m }) };
  });
  return pause;
}

// The pause that the last dive asks for, longer when it is one of many.
/** @param {Sheet} sheet @param {Surfaced[]} dives */
function pauseOfLast(sheet, dives) {
  const last = dives.at(-1);
  const { repetition } = sheet.interval;
  const rules = needed(sheet.interval, last.reached_m, last.dive_s);
  const seconds = rules.length ? rules[0].seconds : 0;
  const since = last.surfaced_s - 60 * repetition.within_min;
  const deep = dives.filter((dive) => dive.reached_m >= repetition.deep_m && dive.surfaced_s >= since);
  if (deep.length < repetition.dives || last.reached_m < repetition.deep_m) return { seconds, rules, longer: null };
  const said = { nth: nth(deep.length, sheet.words), depth: repetition.deep_m, minutes: repetition.within_min };
  return { seconds: Math.ceil(seconds * repetition.factor), rules, longer: fill(sheet.words.repeated, said) };
}

/**
 * Each rule's pause after this dive as {name, seconds}, the longest first.
 * @param {Interval} table
 * @param {number} reached_m
 * @param {number} dive_s
 */
export function needed(table, reached_m, dive_s) {
  const bar = table.bars[Math.min(Math.ceil(reached_m), table.bars.length - 1)];
  return table.rules
    .filter((rule) => reached_m >= rule.from_m)
    .map((rule) => ({
      name: rule.name,
      seconds: Math.ceil(
        dive_s * rule.per_dive + dive_s * bar * rule.per_dive_bar + reached_m * rule.per_m + rule.fixed_s,
      ),
    }))
    .filter((pause) => pause.seconds > 0)
    .sort((one, other) => other.seconds - one.seconds);
}
