// A list of dives as the search grows it: what is done, when the line is free, and from when everybody may dive or be
// safety again.
import { unfairness } from "./fair.js";
import { has, moveCost } from "./line.js";
import { placesOf } from "./places.js";
import { setUp } from "./rules.js";

/** Makes the lists of one boat. */
export class Lists {
  /** @param {CrewTask} task */
  constructor(task) {
    const depths = task.dives.map(({ dm }) => dm);
    this.task = task;
    this.needs = new Map();
    this.setUps = [task.line.dm, ...depths].map((from) => depths.map((to) => setUp(task.numbers, from, to)));
  }

  /** The list without any dive yet. @param {number[]} leftOut dives that it will never have */
  first(leftOut) {
    const { start, line, dives } = this.task;
    const places = placesOf(dives, leftOut);
    return { done: leftOut.reduce((sum, dive) => sum + 2 ** dive, 0), count: 0, last: -1, dm: line.dm, end: line.free,
      cost: 0, wait: 0, free: start.free, deepFrom: start.deepFrom, rested: start.rested, duties: start.duties,
      leftOut, places, taken: new Set(places.values()), from: null, step: null };
  }

  /** Whether this dive may be the next. */
  isNext({ done, count, places, taken }, dive) {
    const wanted = taken.has(count + 1) ? count + 1 : undefined;
    return !has(done, dive) && places.get(dive) === wanted
      && this.task.before[dive].every((other) => has(done, other));
  }

  /** From when the line is set for this dive. */
  ready({ last, end }, dive) {
    return Math.max(this.task.at, end + this.setUps[last + 1][dive]);
  }

  /** From when the line and the diver are ready. */
  own(list, dive, ready) {
    const { person, beyond } = this.task.dives[dive];
    return Math.max(ready, list.free[person], beyond ? list.deepFrom[person] : 0);
  }

  /** The list with one dive more, which begins as early as it can. @param {number[]} safety */
  settled(list, dive, safety) {
    const own = this.own(list, dive, this.ready(list, dive));
    return this.grown(list, dive, safety, beginOf(list.rested, safety, this.task.dives[dive].fixed ?? own));
  }

  /** The list with one dive more. @param {number[]} safety @param {number} begins */
  grown(list, dive, safety, begins) {
    const { person, dm, takes, pause, beyond } = this.task.dives[dive];
    const { rest } = this.task.numbers;
    const [ends, ready, done] = [begins + takes, this.ready(list, dive), list.done + 2 ** dive];
    const [free, deepFrom, rested, duties] =
      [list.free.slice(), list.deepFrom.slice(), list.rested.slice(), list.duties.slice()];
    free[person] = Math.max(free[person], ends + pause);
    if (beyond) rested[person] = Math.max(rested[person], ends + rest);
    for (const place of safety) {
      deepFrom[place] = Math.max(deepFrom[place], ends + rest);
      duties[place] += 1;
    }
    const needs = this.#needsAfter(done);
    forget(free, ends, needs.free);
    forget(deepFrom, ends, needs.deepFrom);
    forget(rested, ends, needs.rested);
    return { done, count: list.count + 1, last: dive, dm, end: ends, cost: list.cost + moveCost(list.dm, dm),
      wait: list.wait + begins - ready, free, deepFrom, rested, duties, leftOut: list.leftOut, places: list.places,
      taken: list.taken, from: list, step: { dive, ready, begins, ends, safety, fromDm: list.dm } };
  }

  #needsAfter(done) {
    if (!this.needs.has(done)) this.needs.set(done, needsOf(this.task, done));
    return this.needs.get(done);
  }
}

// A moment that has passed, or that no dive still to come asks for, makes no difference between two lists.
function forget(moments, ends, isNeeded) {
  for (let at = 0; at < moments.length; at += 1) if (moments[at] <= ends || !isNeeded[at]) moments[at] = 0;
}

// Whose moments still count: of own dives, of own deep dives, of safety duty.
function needsOf({ dives, people }, done) {
  const coming = dives.filter((_, place) => !has(done, place));
  return {
    free: people.map((_, place) => coming.some(({ person }) => person === place)),
    deepFrom: people.map((_, place) => coming.some(({ person, beyond }) => person === place && beyond)),
    rested: people.map((_, place) => coming.some(({ able }) => able.includes(place))),
  };
}

/** When a dive with these safety divers begins: all of them have rested. */
export function beginOf(rested, safety, earliest) {
  let begins = earliest;
  for (const place of safety) if (rested[place] > begins) begins = rested[place];
  return begins;
}

/** The steps of a list, the first first. @returns {CrewStep[]} */
export function stepsOf(list) {
  const steps = [];
  for (let one = list; one.from; one = one.from) steps.unshift(one.step);
  return steps;
}

/** What the list is worth: the sum of squares of everybody's duties comes last. */
export function worthOf(list) {
  const { leftOut, cost, wait, duties } = list;
  return { leftOut, cost, wait, duties, fair: unfairness(duties), steps: stepsOf(list) };
}
