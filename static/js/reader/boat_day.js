// What the diver said on the boat about a day: it can only make the day easier. Twin of
// webapp/planner/reader/boat_day.py. What holds for a day is {no_diving, hold, shallower, main, taxing,
// not_ready, easy}.
import { number } from "./sentences.js";

/** @returns {Said} */
const nothing = () => (
  { no_diving: null, hold: false, shallower: 0, main: null, taxing: false, not_ready: [], easy: false });

export const NOTHING = nothing();

/** What was said, by day number; several records that hold for a day are taken together. @param {Dive[]} log */
export function saidByDay(log) {
  const found = new Map();
  const order = (record) => `${record.date} ${record.id}`;
  const records = log.filter(({ kind }) => kind === "day").sort((a, b) => (order(a) < order(b) ? -1 : 1));
  for (const record of records) {
    const first = number(record.date), last = number(record.to || record.date);
    for (let n = first; n <= last; n += 1) found.set(n, added(found.get(n) ?? nothing(), record));
    found.set(first, woken(found.get(first) ?? nothing(), record));
  }
  return found;
}

/** @param {Said} said @param {Dive} record @returns {Said} */
function added(said, record) {
  return {
    ...said,
    no_diving: record.no_diving ?? said.no_diving,
    hold: said.hold || Boolean(record.hold),
    shallower: Math.max(said.shallower, record.shallower ?? 0),
    main: record.main ?? said.main,
    taxing: said.taxing || Boolean(record.taxing),
  };
}

// How the diver felt in the morning: of this day only, however long the rest of the word holds.
/** @param {Said} said @param {Dive} record @returns {Said} */
function woken(said, { not_ready, easy }) {
  const more = (not_ready ?? []).filter((code) => !said.not_ready.includes(code));
  return { ...said, not_ready: [...said.not_ready, ...more], easy: said.easy || Boolean(easy) };
}
