// The search: list after list grows by one dive, and of all lists of the same length only the best are kept (a beam).
// How many are kept decides what is found, never the time it takes: every phone finds the same order.
import { Beam, rankOf } from "./beam.js";
import { optionsOf } from "./choices.js";
import { shareOut, unfairness } from "./fair.js";
import { has, isPossible, leftOver, moveCost } from "./line.js";
import { Loads } from "./loads.js";
import { placesOf } from "./places.js";
import { setUp } from "./rules.js";

/** Finds lists of one boat; `width`: how many lists of a length are kept. */
export class Search {
  /** @param {CrewTask} task */
  constructor(task) {
    const { dives, numbers, line } = task;
    this.task = task;
    this.options = dives.map(optionsOf);
    const depths = dives.map(({ dm }) => dm);
    this.setUps = [line.dm, ...depths].map((from) => depths.map((to) => setUp(numbers, from, to)));
    this.fixed = [...dives.keys()].filter((place) => dives[place].fixed !== null);
    this.left = null;
  }

  /**
   * The best list without one of these sets of dives, or null. `most`: a list that was found, to be made fairer: it is
   * the same or better in what comes before.
   * @param {number} width @param {number[][]} leftOut @param {CrewFound | null} [most]
   * @returns {CrewFound | null}
   */
  run(width, leftOut, most = null) {
    this.most = most;
    const { dives } = this.task;
    const starts = leftOut.map((list) => this.#start(list));
    this.left = leftOver(this.task, leftOut.length === 1 && leftOut[0].length === 0 ? starts[0].places : new Map());
    let labels = starts;
    for (let step = dives.length - leftOut[0].length; step > 0 && labels.length > 0; step -= 1) {
      this.beam = new Beam(width, most !== null);
      for (const label of labels) this.#expand(label);
      labels = this.beam.kept(({ from, dive, option, begins }) =>
        this.#grown(from, dive, this.options[dive][option], begins));
    }
    return this.#best(labels);
  }

  #start(leftOut) {
    const { start, line, dives } = this.task;
    const places = placesOf(dives, leftOut);
    return { done: leftOut.reduce((sum, dive) => sum + 2 ** dive, 0), count: 0, last: -1, dm: line.dm, end: line.free,
      cost: 0, wait: 0, fair: unfairness(start.duties), free: start.free, deepFrom: start.deepFrom, leftOut,
      rested: start.rested, duties: start.duties, places, taken: new Set(places.values()), from: null, step: null };
  }

  #expand(label) {
    const loads = new Loads(this.task, label);
    for (const [dive] of this.task.dives.entries()) if (this.#isNext(label, dive)) this.#tryDive(label, dive, loads);
  }

  #isNext({ done, count, places, taken }, dive) {
    const wanted = taken.has(count + 1) ? count + 1 : undefined;
    return !has(done, dive) && places.get(dive) === wanted
      && this.task.before[dive].every((other) => has(done, other));
  }

  #tryDive(label, dive, loads) {
    const { dm, takes, fixed } = this.task.dives[dive];
    const cost = label.cost + moveCost(label.dm, dm);
    const whole = cost + this.left(label.done + 2 ** dive, dive, dm);
    const ready = this.#ready(label, dive);
    const own = this.#own(label, dive, ready);
    if (!isPossible(whole) || whole > (this.most?.cost ?? whole) || (fixed !== null && own > fixed)) return;
    const load = loads.after(dive, whole - cost);
    for (const [at, option] of this.options[dive].entries()) {
      const begins = begin(label.rested, option, fixed ?? own);
      const ends = begins + takes;
      if ((fixed !== null && begins > fixed) || !this.#keepsFixed(label, dive, ends, option)) continue;
      const wait = label.wait + begins - ready;
      if (this.most && wait > this.most.wait) continue;
      const least = Math.max(wait + load(ends, option), this.most?.wait ?? 0);
      const rank = rankOf(whole, least, label.fair + more(label.duties, option));
      this.beam.add(rank, label, dive, at, begins);
    }
  }

  #ready({ last, end }, dive) {
    return Math.max(this.task.at, end + this.setUps[last + 1][dive]);
  }

  #own({ free, deepFrom }, dive, ready) {
    const { person, beyond } = this.task.dives[dive];
    return Math.max(ready, free[person], beyond ? deepFrom[person] : 0);
  }

  // Whether each official time that is still to come can be kept after this dive.
  #keepsFixed({ done }, dive, ends, option) {
    const { dives, numbers } = this.task;
    const mine = dives[dive];
    const isKept = (place) => {
      const other = dives[place];
      const rests = other.beyond && option.includes(other.person) ? numbers.rest : 0;
      const pause = other.person === mine.person ? mine.pause : 0;
      return ends + Math.max(this.setUps[dive + 1][place], rests, pause) <= other.fixed;
    };
    return this.fixed.every((place) => place === dive || has(done, place) || isKept(place));
  }

  #grown(label, dive, safety, begins) {
    const { dives, numbers } = this.task;
    const { person, dm, takes, pause, beyond } = dives[dive];
    const [ends, ready] = [begins + takes, this.#ready(label, dive)];
    const [free, deepFrom, rested, duties] =
      [label.free.slice(), label.deepFrom.slice(), label.rested.slice(), label.duties.slice()];
    free[person] = Math.max(free[person], ends + pause);
    if (beyond) rested[person] = Math.max(rested[person], ends + numbers.rest);
    for (const other of safety) {
      deepFrom[other] = Math.max(deepFrom[other], ends + numbers.rest);
      duties[other] += 1;
    }
    return { ...label, done: label.done + 2 ** dive, count: label.count + 1, last: dive, dm, end: ends,
      cost: label.cost + moveCost(label.dm, dm), wait: label.wait + begins - ready, fair: unfairness(duties),
      free, deepFrom, rested, duties, from: label, step: { dive, ready, begins, ends, safety, fromDm: label.dm } };
  }

  // Of the lists that are equal but for the duties: the one whose times let them be the fairest.
  #best(labels) {
    if (labels.length === 0) return null;
    const byTime = (one, other) => one.cost - other.cost || one.wait - other.wait;
    const best = labels.reduce((found, one) => (byTime(one, found) < 0 ? one : found));
    const equal = labels.filter((one) => byTime(one, best) === 0).map((one) => this.#shared(one));
    return equal.reduce((found, one) => ((byTime(one, found) || one.fair - found.fair) < 0 ? one : found));
  }

  #shared(label) {
    const steps = stepsOf(label);
    const last = this.#settled(label.leftOut, steps, shareOut(this.task, steps));
    const { leftOut, cost, wait, fair, duties } = last;
    return { steps: stepsOf(last), leftOut, cost, wait, fair, duties };
  }

  // The same dives with these safety divers, each as early as it can be.
  #settled(leftOut, steps, safety) {
    let label = this.#start(leftOut);
    for (const [at, { dive }] of steps.entries()) {
      const own = this.#own(label, dive, this.#ready(label, dive));
      label = this.#grown(label, dive, safety[at], begin(label.rested, safety[at], this.task.dives[dive].fixed ?? own));
    }
    return label;
  }
}

function stepsOf(label) {
  const steps = [];
  for (let one = label; one.from; one = one.from) steps.unshift(one.step);
  return steps;
}

function begin(rested, option, earliest) {
  let begins = earliest;
  for (const place of option) if (rested[place] > begins) begins = rested[place];
  return begins;
}

// How much one duty more for each of them adds to the sum of the squares.
function more(duties, option) {
  let sum = 0;
  for (const place of option) sum += duties[place] + duties[place] + 1;
  return sum;
}
