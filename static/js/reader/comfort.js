// The comfortable depth of a discipline, how long ago the diver was near it, and where that lets them begin.
// Twin of webapp/planner/reader/comfort.py. A comfort is {given_m, repeats, near_n, deepest}; idle is
// {days, rungs, why, said}.
import { fill, steps } from "./sentences.js";
import { rungAt } from "./standing.js";

/** The deepest depth with enough clean dives in the log, or the season's if that is deeper. @param {Comfort} comfort */
export function comfortableM({ given_m, repeats, deepest }) {
  return deepest.length === repeats ? Math.max(given_m, deepest.at(-1)) : given_m;
}

/**
 * The comfort after a dive near it on day `n`, which ends the time away.
 * @param {Comfort} comfort
 * @param {number} n
 * @returns {Comfort}
 */
export function nearOn(comfort, n) {
  return { ...comfort, near_n: n };
}

/**
 * The comfort after a clean dive of its own discipline to this depth.
 * @param {Comfort} comfort
 * @param {number} depth_m
 * @returns {Comfort}
 */
export function divedClean(comfort, depth_m) {
  if (comfort.deepest.length === comfort.repeats && depth_m <= comfort.deepest.at(-1)) return comfort;
  const deepest = [...comfort.deepest, depth_m].sort((one, other) => other - one).slice(0, comfort.repeats);
  return { ...comfort, deepest };
}

/**
 * The standing with which a deep dive of this day begins: after time away or days off a shallower one.
 * @param {Sheet} sheet
 * @param {Ladder} ladder
 * @param {Standing} now
 * @param {Comfort} comfort
 * @param {number} n
 * @param {Idle} idle
 * @returns {Standing}
 */
export function opened(sheet, ladder, now, comfort, n, idle) {
  const { numbers } = sheet;
  const runIn = now.is_set || idle.days < numbers.run_in_days ? 0 : numbers.run_in_rungs;
  const shallower = Math.max(runIn, idle.rungs);
  const days = n - comfort.near_n;
  const row = sheet.away.find((one) => one.to_days === null || days <= one.to_days);
  if (!row.is_full) return afterTimeAway(sheet, ladder, now, comfort, row, days, shallower);
  if (shallower === 0 || now.rung === 0) return now;
  const key = idle.rungs >= shallower ? idle.why : "run_in";
  const rung = Math.max(0, now.rung - shallower);
  const back = now.back ?? now.rung;
  const said = { days: idle.days, steps: steps(shallower, sheet.words), depth: ladder.rungs[back].depth_m,
    why: idle.said };
  return onTheWay(now, rung, back, fill(sheet.words[key], said));
}

function afterTimeAway(sheet, ladder, now, comfort, row, days, shallower) {
  const comfortable = comfortableM(comfort);
  const rung = Math.min(rungAt(ladder, row.share * comfortable), Math.max(0, now.rung - shallower));
  if (rung >= now.rung) return now;
  const back = now.back ?? Math.min(now.rung, rungAt(ladder, comfortable));
  const said = { start: ladder.rungs[rung].depth_m, percent: row.percent, comfortable, days };
  return { ...onTheWay(now, rung, back, fill(sheet.words.away, said)), back_clean: 0 };
}

// The standing at the foot of a way back, which ends at the rung `back`.
/** @param {Standing} now @param {number} rung @param {number} back @param {string} why @returns {Standing} */
function onTheWay(now, rung, back, why) {
  const back_clean = now.back === null && back === now.rung ? now.clean : 0;
  return { ...now, rung, clean: 0, run: 0, last: [], efforts: [], why, back: back > rung ? back : null, back_clean };
}
