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
 * Order dives again and again: `order(crew)` begins anew when anything but the time has changed, or a minute has
 * passed; `show(found, isFirst)` gets each better order, with what the line is not set for in `cannot`.
 * @param {(found: CrewOrder, isFirst: boolean) => void} show
 */
export function ordering(show) {
  const MINUTE = 2;
  let run = 0, from = "", at = -Infinity;
  return (/** @type {CrewDay} */ crew, isAnew = false) => {
    const moment = halfNow(now());
    const { boat, tooDeep } = boatOf(crew, moment, CREW.limits);
    const state = JSON.stringify([crew.date, { ...boat, at: 0 }, tooDeep]);
    if (!isAnew && state === from && moment - at < MINUTE) return;
    [from, at, run] = [state, moment, run + 1];
    go(betterOrders(boat, CREW.limits), run, tooDeep, true);
  };

  function go(steps, mine, tooDeep, isFirst) {
    setTimeout(() => {
      if (mine !== run) return;
      const { value, done } = steps.next();
      if (done) return;
      show({ ...value, cannot: [...value.cannot, ...tooDeep] }, isFirst);
      go(steps, mine, tooDeep, false);
    });
  }
}
