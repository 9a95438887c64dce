// Where a diver stands on one ladder, and where a dive takes them. Twin of webapp/planner/reader/standing.py.
// A standing is {rung, clean, run, why}; these functions return a new one and change none.
import { fill, nth } from "./sentences.js";

/**
 * The standing after a dive on the plan that was clean, hard or turned; `assumed` words it as still to come.
 * @param {Sheet} sheet
 * @param {Ladder} ladder
 * @param {Standing} now
 * @param {string} verdict
 * @param {number} reached_m
 * @param {boolean} assumed
 * @returns {Standing}
 */
export function moved(sheet, ladder, now, verdict, reached_m, assumed) {
  const { words } = sheet;
  const depth = ladder.rungs[now.rung].depth_m;
  const said = { reached: reached_m, depth };
  if (sheet.verdicts[verdict].counts) {
    if (reached_m < depth - sheet.numbers.tolerance_m) return { ...now, run: 0, why: fill(words.short, said) };
    return counted(words, ladder, now, assumed ? "_if" : "");
  }
  const run = now.run + 1;
  if (run < sheet.verdicts[verdict].run_limit) return { ...now, run, why: fill(words[verdict], said) };
  return lowered(now, 1, fill(words[now.rung > 0 ? "down" : "lowest"], { count: run, depth }));
}

/**
 * The standing this many rungs further up the line; clean count and run begin anew.
 * @param {Standing} now
 * @param {number} steps
 * @param {string} why
 * @returns {Standing}
 */
export function lowered(now, steps, why) {
  return { rung: Math.max(0, now.rung - steps), clean: 0, run: 0, why };
}

/**
 * The standing from which this ladder goes on after a stand-down.
 * @param {Sheet} sheet
 * @param {Ladder} ladder
 * @param {Standing} now
 * @param {{ [name: string]: string }} values
 * @returns {Standing}
 */
export function resumed(sheet, ladder, now, values) {
  const { numbers } = sheet;
  const { depth_m: depth, resume } = ladder.rungs[now.rung];
  const start = ladder.rungs[resume].depth_m;
  const key = start > numbers.resume_share * depth ? "resume_lowest" : "resume";
  const said = { ...values, percent: numbers.resume_percent, depth, start };
  return { rung: resume, clean: 0, run: 0, why: fill(sheet.words[key], said) };
}

/** @param {Words} words @param {Ladder} ladder @param {Standing} now @param {string} mood @returns {Standing} */
function counted(words, ladder, now, mood) {
  const clean = now.clean + 1;
  const said = { nth: nth(clean, words), depth: ladder.rungs[now.rung].depth_m, left: ladder.repeats - clean };
  if (clean < ladder.repeats) return { rung: now.rung, clean, run: 0, why: fill(words[`again${mood}`], said) };
  if (now.rung + 1 < ladder.rungs.length) {
    return { rung: now.rung + 1, clean: 0, run: 0, why: fill(words[`up${mood}`], said) };
  }
  return { rung: now.rung, clean, run: 0, why: fill(words[`top${mood}`], said) };
}
