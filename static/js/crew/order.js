// The run order of a crew: which dive follows which, when each begins, who is safety, and why. Nothing here says that a
// dive is safe: rules of the crew, its training and local rules come first.
//
// `orderOf(boat, limits)` gives the order; `betterOrders(boat, limits)` gives a first one at once, then only better
// ones, the last of them the same as `orderOf`'s. The shapes `Boat`, `CrewLimits` and `CrewOrder` stand in
// tests/types/phone.d.ts. Moments are whole half minutes since midnight; people and dives may come in any sequence.
//
// What makes an order better, the first difference decides:
//   1. fewer dives left out (of two that stand in each other's way, rather the pinned one than the one with an
//      official time),
//   2. fewer changes of the depth of the line, then fewer metres moved (tenths of a metre),
//   3. less waiting: the half minutes in which the line is ready and nobody dives, of all rows together,
//   4. a fairer share of safety duty: the smaller sum of the squares of everybody's duties, those so far included.
// Each is a whole number, and what is still equal is decided by the ids: every phone finds the same order.
import { changesOf, movedOf } from "./line.js";
import { Fairer, Shortest } from "./goals.js";
import { leftOuts } from "./left_out.js";
import { metres, taskOf } from "./rules.js";
import { Search } from "./search.js";
import { reasonsOf, ruleOf } from "./why.js";

const LONG = 12; // more dives than that: beams are narrower, it would take too long
const WIDTHS = [50, 300, 2000]; // lists kept of each length: for the first answer, then for better ones
const LONG_WIDTHS = [10, 50, 300];
const FAIR = 1000, LONG_FAIR = 300; // the same for the fair share

/**
 * The best order that is found.
 * @param {Boat} boat @param {CrewLimits} limits @returns {CrewOrder}
 */
export function orderOf(boat, limits) {
  return [...betterOrders(boat, limits)].at(-1);
}

/**
 * A first order at once, then better ones.
 * @param {Boat} boat @param {CrewLimits} limits @returns {Generator<CrewOrder>}
 */
export function* betterOrders(boat, limits) {
  const task = taskOf(boat, limits);
  let best = null;
  for (const found of passes(new Search(task))) {
    if (found === null || (best !== null && !isBetter(found, best))) continue;
    best = found;
    yield told(task, found);
  }
}

// A quick answer, then what wider beams find as long as they drop anything, then a fairer list of the same length.
function* passes(search) {
  const isLong = search.task.dives.length > LONG;
  let best = null;
  for (const width of isLong ? LONG_WIDTHS : WIDTHS) {
    if (best?.isWhole) break;
    const found = firstOf(search, width);
    best = best === null || isBetter(found, best) ? found : { ...best, isWhole: found.isWhole };
    yield best;
  }
  const fairer = search.run(new Fairer(best), isLong ? LONG_FAIR : FAIR, best.sets);
  yield fairer && { ...best, ...fairer };
}

// With as few dives left out as this width finds a list for.
function firstOf(search, width) {
  let isWhole = true;
  for (const { lost, sets } of leftOuts(search.task)) {
    const found = search.run(new Shortest(), width, sets);
    isWhole &&= search.isWhole;
    if (found) return { ...found, lost, sets, isWhole };
  }
}

function isBetter(one, other) {
  const [first] = ["lost", "cost", "wait", "fair"].filter((name) => one[name] !== other[name]);
  return first !== undefined && one[first] < other[first];
}

function told(task, found) {
  const { removed, running, people } = task;
  const reasons = reasonsOf(task, found.steps);
  const rows = found.steps.map((step, at) => rowOf(task, step, reasons[at]));
  const notPlaced = found.leftOut.map((place) => ruleOf(task, place));
  return {
    rows: running ? [runningRow(running), ...rows] : rows, cannot: [...task.cannot, ...notPlaced], removed,
    changes: changesOf(found.cost), metres: metres(movedOf(found.cost)), wait: found.wait, fairness: found.fair,
    duties: Object.fromEntries(people.map(({ id }, place) => [id, found.duties[place]])),
  };
}

function rowOf({ people, dives }, { dive, begins, ends, ready, safety, fromDm }, reasons) {
  const { id, dm } = dives[dive];
  return { dive: id, begins, ends, safety: safety.map((place) => people[place].id),
    line_from_m: fromDm === null ? null : metres(fromDm), line_to_m: metres(dm), waits: begins - ready, reasons };
}

function runningRow({ dive, begins, ends, safety, dm }) {
  const depth_m = metres(dm);
  return { dive, begins, ends, safety, line_from_m: depth_m, line_to_m: depth_m, waits: 0,
    reasons: [{ code: "running", values: {} }] };
}
