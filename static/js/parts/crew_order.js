// The run order of a crew's day as its pages need it: calculated after the page is drawn, step by step in tasks of its
// own, so that a touch is heard in between.
import { now } from "../clock.js";
import { boatOf, dayOf } from "../crew/boat_of.js";
import { betterOrders } from "../crew/order.js";
import { CREW, halfNow, halfOf } from "./crew_words.js";

/** What a feed says of a day. @param {CrewFeedRow[]} rows @param {string} date */
export function crewDay(rows, date) {
  return dayOf(rows, date, (instant) => halfOf(Date.parse(instant), date));
}

/** What somebody is called: as in the list, as a member, as a guest. @param {CrewDay} crew @param {any[]} [members] */
export function namesOf(crew, members = []) {
  const names = new Map(members.map(({ person, name }) => [person, name]));
  for (const { record, fields } of crew.guests) names.set(record, fields.name);
  for (const { person, name } of crew.aboard) names.set(person, name);
  return (person) => names.get(person) ?? "Somebody";
}

/**
 * Order dives again and again: `order(crew)` begins anew when anything has changed, or a minute has passed.
 * `show(found, isFirst)` gets each better order, with what the line is not set for in `cannot`. While only time passes
 * it gets the best one alone, when it is found and differs: a list that is read never becomes worse for a moment. A
 * page that draws `isAnew` gets the order that it had.
 * @param {(found: CrewOrder, isFirst: boolean) => void} show
 */
export function ordering(show) {
  const MINUTE = 2;
  let run = 0, from = "", at = -Infinity;
  /** @type {CrewOrder | null} */
  let shown = null;
  return (/** @type {CrewDay} */ crew, isAnew = false) => {
    const moment = halfNow(now());
    const { boat, tooDeep } = boatOf(crew, moment, CREW.limits);
    const state = JSON.stringify([crew.date, { ...boat, at: 0 }, tooDeep]);
    const isSame = state === from && shown !== null;
    if (isSame && isAnew) show(shown, true);
    if (state === from && moment - at < MINUTE) return;
    [from, at, run, shown] = [state, moment, run + 1, isSame ? shown : null];
    later(betterOrders(boat, CREW.limits), { mine: run, tooDeep, isQuiet: isSame, isFirst: true, best: null });
  };

  function later(steps, one) {
    setTimeout(() => {
      if (one.mine !== run) return;
      const { value, done } = steps.next();
      if (done) return one.isQuiet && give(one.best, false);
      const best = { ...value, cannot: [...value.cannot, ...one.tooDeep] };
      if (!one.isQuiet) give(best, one.isFirst);
      later(steps, { ...one, best, isFirst: false });
    });
  }

  function give(found, isFirst) {
    if (!isFirst && seenOf(found) === seenOf(shown)) return;
    shown = found;
    show(found, isFirst);
  }
}

const seenOf = ({ rows, cannot }) => JSON.stringify([rows, cannot]);
