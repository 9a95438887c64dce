// The list of one day: what is planned in the order of diving, and which of it is done.
// Twin of webapp/planner/reader/daylist.py. The deep dive of a day is {name, standing, rung, why, is_asked}.
import { fill } from "./sentences.js";
import { needed } from "./standing.js";

/**
 * Warm-ups, the deep dive and drills of a deep day, or the drills of an easy day; else nothing. `near` holds the rung
 * of each ladder on this day, `comfortable` gives the rung of a comfortable depth.
 * @param {Sheet} sheet
 * @param {Wanted} wanted
 * @param {string} kind
 * @param {BlockDrill[]} some
 * @param {{ [name: string]: number }} near
 * @param {(name: string) => number} comfortable
 * @returns {PlannedDive[]}
 */
export function planned(sheet, wanted, kind, some, near, comfortable) {
  if (kind === "easy") return some.flatMap((drill) => easyDrills(sheet, drill, wanted.name, near, comfortable));
  if (kind !== "deep") return [];
  const rung = sheet.disciplines[wanted.name].rungs[wanted.rung];
  const count = sheet.warm_ups;
  const warm = numbered(count, (nth) => dive(wanted.name, "warm-up", rung.warm_up_m, nth, count, sheet.words.warm_up));
  const after = some.flatMap((drill) =>
    drills(drill, Math.min(depthM(drill, near, comfortable), rung.near_m), sheet.words.drill));
  return [...warm, deep(sheet, wanted, wanted.why), ...after];
}

/**
 * The deep dive of a day as planned.
 * @param {Sheet} sheet
 * @param {Wanted} wanted
 * @param {string} why
 * @returns {PlannedDive}
 */
export function deep(sheet, wanted, why) {
  const ladder = sheet.disciplines[wanted.name];
  const depth_m = ladder.rungs[wanted.rung].depth_m;
  if (wanted.is_asked) return dive(wanted.name, "deep", depth_m, 1, 1, why);
  const needs = needed(sheet, ladder, wanted.standing);
  return dive(wanted.name, "deep", depth_m, Math.min(wanted.standing.clean + 1, needs), needs, why);
}

/**
 * The second try that a dive turned early leaves open on the same day; `wanted.why` tells a step down.
 * @param {Sheet} sheet
 * @param {Wanted} wanted
 * @param {Dive} turned
 * @returns {PlannedDive}
 */
export function again(sheet, wanted, turned) {
  const said = { reached: turned.reached_m, depth: turned.target_m, percent: sheet.numbers.second_try_percent };
  const why = [wanted.why, fill(sheet.words.second_try, said)].filter(Boolean).join("; ");
  return { ...deep(sheet, wanted, why), again: true };
}

/**
 * Mark each planned dive that is deeper than the diver's best in its discipline.
 * @param {PlannedDive[]} dives
 * @param {Words} words
 * @param {{ [name: string]: number }} bests
 */
export function markNewBests(dives, words, bests) {
  for (const one of dives) {
    const best = bests[one.discipline];
    if (best === undefined || one.target_m <= best) continue;
    one.new_best = true;
    one.best_says = fill(words.new_best, { best });
  }
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
  keep(dives, (one) => !("again" in one) || one.done !== null);
}

/**
 * Take what is deeper off the rest of the day: open deep dives go, other open dives get shallower.
 * @param {PlannedDive[]} dives
 * @param {number} most_m
 * @param {Words} words
 */
export function noDeeperThan(dives, most_m, words) {
  keep(dives, (one) => one.done !== null || one.role !== "deep" || one.target_m <= most_m);
  for (const one of dives) {
    if (one.done !== null || one.target_m <= most_m) continue;
    one.target_m = most_m;
    one.why = fill(words.no_deeper_today, { most: most_m });
  }
}

function keep(dives, wanted) {
  dives.splice(0, dives.length, ...dives.filter(wanted));
}

// So far above the rung that they are no deep dives: those would make the next day easy as well.
function easyDrills(sheet, drill, main, near, comfortable) {
  const said = { percent: sheet.numbers.easy_percent, discipline: drill.discipline };
  const ladder = drill.discipline in near ? drill.discipline : main;
  const nearM = sheet.disciplines[ladder].rungs[near[ladder]].near_m;
  const depth_m = Math.min(depthM(drill, near, comfortable), drill.easy_m, nearM);
  return drills(drill, depth_m, fill(sheet.words.drill_easy, said));
}

// How deep a drill is to go: its own depth, or a share of where its discipline stands now: its rung of the day, or the
// comfortable depth when that is shallower.
function depthM({ discipline: name, depth_m, by_rung }, near, comfortable) {
  return by_rung === null ? depth_m : by_rung[Math.min(near[name], comfortable(name))];
}

/** @param {BlockDrill} drill @param {number} depth_m @param {string} why @returns {PlannedDive[]} */
function drills({ discipline, dives: count, focus }, depth_m, why) {
  if (depth_m <= 0) return []; // the rules leave no room for a drill
  const more = focus ? { focus } : {};
  return numbered(count, (nth) => ({ ...dive(discipline, "drill", depth_m, nth, count, why), ...more }));
}

function dive(discipline, role, target_m, repeat, repeats, why) {
  return { discipline, role, target_m, repeat, repeats, why, done: null };
}

function numbered(count, make) {
  return Array.from({ length: count }, (_, index) => make(index + 1));
}
