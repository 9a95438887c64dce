// What the diver said on the boat about a day: it can only make the day easier. Twin of
// webapp/planner/reader/boat_day.py. What holds for a day is {no_diving, hold, shallower, main, taxing}.
import { number } from "./sentences.js";

/** @returns {Said} */
const nothing = () => ({ no_diving: null, hold: false, shallower: 0, main: null, taxing: false });

export const NOTHING = nothing();

/** What was said, by day number; several records that hold for a day are taken together. @param {Dive[]} log */
export function saidByDay(log) {
  const found = new Map();
  const order = (record) => `${record.date} ${record.id}`;
  const records = log.filter(({ kind }) => kind === "day").sort((a, b) => (order(a) < order(b) ? -1 : 1));
  for (const record of records) {
    const last = number(record.to ?? record.date);
    for (let n = number(record.date); n <= last; n += 1) found.set(n, added(found.get(n) ?? nothing(), record));
  }
  return found;
}

/** @param {Said} said @param {Dive} record @returns {Said} */
function added(said, record) {
  return {
    no_diving: record.no_diving ?? said.no_diving,
    hold: said.hold || Boolean(record.hold),
    shallower: Math.max(said.shallower, record.shallower ?? 0),
    main: record.main ?? said.main,
    taxing: said.taxing || Boolean(record.taxing),
  };
}
