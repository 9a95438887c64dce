// The search: list after list grows by one dive, and of all lists of the same length only the best are kept (a beam).
// How many are kept decides what is found, never the time it takes: every phone finds the same order.
import { Beam } from "./beam.js";
import { optionsOf } from "./choices.js";
import { shareOut } from "./fair.js";
import { has, isPossible, leftOver, moveCost } from "./line.js";
import { beginOf, Lists, stepsOf, worthOf } from "./lists.js";
import { Loads } from "./loads.js";

const SHARED = 10; // lists that wait alike whose duties are shared out
const NO_PLACES = new Map();

/** Finds lists of one boat. */
export class Search {
  /** @param {CrewTask} task */
  constructor(task) {
    this.task = task;
    this.lists = new Lists(task);
    this.options = task.dives.map(optionsOf);
    this.fixed = [...task.dives.keys()].filter((place) => task.dives[place].fixed !== null);
    this.tables = new Map();
    this.left = null;
    this.goal = null;
    this.isWhole = false; // whether the last run looked at everything
  }

  /**
   * The best list without one of these sets of dives, all as large, or null.
   * @param {import("./goals.js").Shortest | import("./goals.js").Fairer} goal
   * @param {number} width how many lists of a length are kept @param {number[][]} leftOut
   * @returns {Omit<CrewFound, "lost" | "sets" | "isWhole"> | null}
   */
  run(goal, width, leftOut) {
    let lists = leftOut.map((dives) => this.lists.first(dives));
    this.goal = goal;
    this.isWhole = true;
    this.left = this.#leftOver(leftOut[0].length === 0 ? lists[0].places : NO_PLACES);
    for (let many = this.task.dives.length - leftOut[0].length; many > 0 && lists.length > 0; many -= 1) {
      lists = this.#longer(lists, new Beam(width, goal.isFair));
    }
    return lists.length > 0 ? this.#best(lists) : null;
  }

  // The same for each run with the same places.
  #leftOver(places) {
    const key = [...places].join();
    if (!this.tables.has(key)) this.tables.set(key, leftOver(this.task, places));
    return this.tables.get(key);
  }

  #longer(lists, beam) {
    for (const [from, list] of lists.entries()) {
      const loads = new Loads(this.task, list);
      for (const dive of loads.coming) if (this.lists.isNext(list, dive)) this.#tryDive(list, from, dive, loads, beam);
    }
    const kept = beam.kept((from, dive, option, begins) =>
      this.lists.grown(lists[from], dive, this.options[dive][option], begins));
    this.isWhole &&= beam.isWhole;
    return kept;
  }

  #tryDive(list, from, dive, loads, beam) {
    const { dm, fixed } = this.task.dives[dive];
    const cost = list.cost + moveCost(list.dm, dm);
    const whole = cost + this.left(list.done + 2 ** dive, dive, loads.coming);
    const ready = this.lists.ready(list, dive);
    const own = this.lists.own(list, dive, ready);
    if (!isPossible(whole) || (fixed !== null && own > fixed)) return;
    loads.look(dive, whole - cost);
    this.#trySafety(list, { from, dive, whole, ready, own }, loads, beam);
  }

  #trySafety(list, { from, dive, whole, ready, own }, loads, beam) {
    const { takes, fixed } = this.task.dives[dive];
    const options = this.options[dive];
    for (let at = 0; at < options.length; at += 1) {
      const begins = beginOf(list.rested, options[at], fixed ?? own);
      if (fixed !== null && begins > fixed) continue;
      const ends = begins + takes;
      if (this.fixed.length > 0 && !this.#keepsFixed(list, dive, ends, options[at])) continue;
      const rank = this.goal.rank({ whole, wait: list.wait + begins - ready }, loads, ends, options[at]);
      beam.add(rank, from, dive, at, begins);
    }
  }

  // Whether each official time that is still to come can be kept after this dive.
  #keepsFixed({ done }, dive, ends, option) {
    const { dives, numbers } = this.task;
    const mine = dives[dive];
    const isKept = (place) => {
      const other = dives[place];
      const rests = other.beyond && option.includes(other.person) ? numbers.rest : 0;
      const pause = other.person === mine.person ? mine.pause : 0;
      return ends + Math.max(this.lists.setUps[dive + 1][place], rests, pause) <= other.fixed;
    };
    return this.fixed.every((place) => place === dive || has(done, place) || isKept(place));
  }

  // Of the lists that are equal but for the duties: the one whose times let them be the fairest.
  #best(lists) {
    const byTime = (one, other) => one.cost - other.cost || one.wait - other.wait;
    const best = lists.reduce((found, one) => (byTime(one, found) < 0 ? one : found));
    const equal = lists.filter((one) => byTime(one, best) === 0).slice(0, SHARED).map((one) => this.#shared(one));
    return equal.reduce((found, one) => ((byTime(one, found) || one.fair - found.fair) < 0 ? one : found));
  }

  // The same dives, the duties shared out, each as early as it can be.
  #shared(list) {
    const steps = stepsOf(list);
    const safety = shareOut(this.task, steps);
    const first = this.lists.first(list.leftOut);
    return worthOf(steps.reduce((found, { dive }, at) => this.lists.settled(found, dive, safety[at]), first));
  }
}
