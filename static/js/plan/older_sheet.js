// Completes a sheet from a server before stages, time away and blocks of their own, so that today's reader reads it as
// the reader of its time did. Each value here is neutral: it switches a newer rule off, and none is a number of the
// trade.

import { BOAT } from "../labels.js";

const NEVER = Infinity; // a count or a number of days that nothing reaches
const FULL = 1; // a share that takes nothing away

const NUMBERS = {
  counts_share: 0, near_share: FULL, return_repeats: FULL, return_rungs: FULL, run_in_days: NEVER, run_in_rungs: 0,
  taxing_effort: NEVER, taxing_days: 0, rising_dives: NEVER, not_clean: NEVER, of_last: FULL, more_after_down: 0,
  limit_rungs: 0, limit_dives: 0, limit_days: 0,
};

// A diver with such a sheet can take a day off too; nothing else follows from it.
const NO_DIVING = { ears: "Ears", sick: "Sick", tired: "Tired", weather: "Weather", travel: "Travel", other: "Other" };

/** Sentences that such a sheet lacks. @param {Sheet} sheet @returns {{ [name: string]: string }} */
const wordsOf = ({ words, verdicts }) => ({
  no_diving: "no diving, as you said: {why}",
  asked_hold: "{depth} m again, as you asked",
  asked_shallower: "shallower than {depth} m, as you asked",
  asked_main: "{discipline} instead of {planned} today, as you asked",
  new_best: "deeper than your best of {best} m",
  reaches_goal: "reaches {depth} m ({goal})",
  target_deeper: "target of {target} m, but the plan has {depth} m: it counts for {depth} m only",
  short_pause: "pause of only {pause} min before this dive; {needed} min were the minimum",
  lighter: "changed to a lighter result: {why}",
  lower_still: "after the {what} on {date}",
  clean_deeper: verdicts.clean.says,
  deeper_counts: words.deeper,
  goal_was_not: "{depth} m ({goal}) was not reached in this season",
  best_done: "deeper than your best so far: {depth} m",
  goal_reached: "goal of {depth} m reached ({goal})",
  clean_flagged: "clean: target reached",
  clean_deeper_flagged: "clean: {more} m deeper than the target",
  deep_too_early: "no deep dive was allowed on this day: none before {until} after the {what} on {date}",
  in_stand_down: "dived during days without diving: {why}",
  what_sore: "mild injury",
  what_lmc: "loss of motor control",
});

/**
 * The sheet with everything that today's reader looks up; a sheet that has it already is given back as it is.
 * @param {Sheet} sheet
 * @returns {Sheet}
 */
export function completed(sheet) {
  return sheet.past ? withMornings(sheet) : withMornings(withStages(sheet));
}

// A sheet from before the diver could say in the morning that a deep dive is out of the question.
/** @param {Sheet} sheet @returns {Sheet} */
function withMornings(sheet) {
  if (sheet.not_ready) return sheet;
  const words = { not_ready: "easy day: no deep dive today ({why})", easy_asked: "easy day, as you asked" };
  const not_ready = mapped(BOAT.not_ready ?? {}, ({ says }) => says);
  return { ...sheet, not_ready, words: { ...words, ...sheet.words } };
}

/** @param {Sheet} sheet @returns {Sheet} */
function withStages(sheet) {
  const { drill, first_day } = sheet;
  const drills = drill ? [{ ...drill, focus: "", depth_m: NEVER, by_rung: null }] : []; // `drill_m` of a rung limits it
  return {
    ...sheet,
    past: [],
    restarts: [],
    away: [{ to_days: null, share: FULL, percent: 0, is_full: true }],
    drill_sets: [drills],
    days: sheet.days.map((day) => ({ ...day, drills: 0 })),
    turned_whys: {},
    no_diving: mapped(NO_DIVING, (says) => ({ says, rungs: 0 })),
    numbers: { ...NUMBERS, ...sheet.numbers },
    words: { ...wordsOf(sheet), ...sheet.words },
    disciplines: mapped(sheet.disciplines, (ladder) => laddered(ladder, first_day)),
  };
}

/** @param {Ladder} ladder @param {string} first_day @returns {Ladder} */
function laddered(ladder, first_day) {
  const { start, start_why, repeats, rungs } = ladder;
  return {
    stands: start, stands_why: start_why, is_given: false, near_on: first_day, top: "top", beyond_m: 0,
    comfortable_m: rungs[start].depth_m, end_m: rungs.at(-1).depth_m, ends_says: "", ...ladder,
    rungs: rungs.map((rung) => ({ needs: repeats, near_m: rung.drill_m, ...rung })),
  };
}

function mapped(values, make) {
  return Object.fromEntries(Object.entries(values).map(([name, value]) => [name, make(value)]));
}
