// The list of one day: what is planned in the order of diving, and which of it is done.
// Twin of webapp/planner/reader/daylist.py.
import { fill } from "./sentences.js";

/**
 * Warm-ups, the deep dive and drills of a deep day, or the drills of an easy day; else nothing.
 * @param {Sheet} sheet
 * @param {string} lead
 * @param {{ [name: string]: Standing }} now
 * @param {string} kind
 * @returns {PlannedDive[]}
 */
export function planned(sheet, lead, now, kind) {
  if (kind === "easy") return easyDrills(sheet, lead, now);
  if (kind !== "deep") return [];
  const rung = rungOf(sheet, lead, now);
  const count = sheet.warm_ups;
  const warm = numbered(count, (nth) => dive(lead, "warm-up", rung.warm_up_m, nth, count, sheet.words.warm_up));
  return [...warm, deep(sheet, lead, now[lead], now[lead].why), ...drills(sheet, rung.drill_m, sheet.words.drill)];
}

/**
 * The rung on which a ladder stands.
 * @param {Sheet} sheet
 * @param {string} name
 * @param {{ [name: string]: Standing }} now
 * @returns {Rung}
 */
export function rungOf(sheet, name, now) {
  return sheet.disciplines[name].rungs[now[name].rung];
}

/**
 * The deep dive of a day as planned from this standing.
 * @param {Sheet} sheet
 * @param {string} lead
 * @param {Standing} now
 * @param {string} why
 * @returns {PlannedDive}
 */
function deep(sheet, lead, now, why) {
  const { rungs, repeats } = sheet.disciplines[lead];
  return dive(lead, "deep", rungs[now.rung].depth_m, Math.min(now.clean + 1, repeats), repeats, why);
}

/**
 * The second try that a dive turned early leaves open on the same day.
 * @param {Sheet} sheet
 * @param {string} lead
 * @param {Standing} now
 * @param {Dive} turned
 * @returns {PlannedDive}
 */
export function again(sheet, lead, now, turned) {
  const said = { reached: turned.reached_m, depth: turned.target_m, percent: sheet.numbers.second_try_percent };
  return { ...deep(sheet, lead, now, fill(sheet.words.second_try, said)), again: true };
}

/**
 * Mark the planned dive that this logged one is, the first of its role and discipline that is still open.
 * @param {PlannedDive[]} dives
 * @param {Dive} logged
 */
export function tick(dives, logged) {
  const open = dives.find((one) =>
    one.done === null && one.role === logged.role && one.discipline === logged.discipline);
  if (open) open.done = logged.id;
}

/** Take the second try off the list, when another deep dive was made instead. @param {PlannedDive[]} dives */
export function withoutSecondTry(dives) {
  const kept = dives.filter((one) => !("again" in one) || one.done !== null);
  dives.splice(0, dives.length, ...kept);
}

// So far above the rung that they are no deep dives: those would make the next day easy as well.
function easyDrills(sheet, lead, now) {
  const { drill } = sheet;
  if (!drill) return [];
  const said = { percent: sheet.numbers.easy_percent, discipline: drill.discipline };
  const near = rungOf(sheet, drill.discipline in now ? drill.discipline : lead, now).drill_m;
  return drills(sheet, Math.min(drill.easy_m, near), fill(sheet.words.drill_easy, said));
}

function drills({ drill }, depth_m, why) {
  if (!drill) return [];
  return numbered(drill.dives, (nth) => dive(drill.discipline, "drill", depth_m, nth, drill.dives, why));
}

function dive(discipline, role, target_m, repeat, repeats, why) {
  return { discipline, role, target_m, repeat, repeats, why, done: null };
}

function numbered(count, make) {
  return Array.from({ length: count }, (_, index) => make(index + 1));
}
