// What the diver said on the boat about a day, and what a coach proposed: both can only make the day easier. Twin of
// webapp/planner/reader/boat_day.py. What holds for a day is {no_diving, hold, shallower, main, taxing,
// not_ready, easy, proposed}; `proposed` is without what the diver declined.
import { number } from "./sentences.js";

/** @returns {Said} */
const nothing = () => (
  { no_diving: null, hold: false, shallower: 0, main: null, taxing: false, not_ready: [], easy: false,
    proposed: [] });

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
  propose(found, log);
  return found;
}

// What makes a day easier; a focus, a changed setting or a comment is for the diver to take over.
/** @param {Map<number, Said>} found @param {Dive[]} log */
function propose(found, log) {
  const order = (record) => `${record.date} ${record.id}`;
  const records = log.filter(({ kind, answer }) => kind === "proposal" && answer !== "declined");
  for (const record of records.sort((a, b) => (order(a) < order(b) ? -1 : 1))) {
    const { id, what, discipline = null, depth_m = null, by, says } = record;
    if (!(what === "easy" || (what === "cap" && depth_m !== null))) continue;
    const fact = { record: id, what, discipline, depth_m, by: by || "", says: says || "" };
    for (let n = number(record.date), last = number(record.to || record.date); n <= last; n += 1) {
      const said = found.get(n) ?? nothing();
      found.set(n, { ...said, proposed: [...said.proposed, fact] });
    }
  }
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
