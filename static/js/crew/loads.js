// How long the people of a list are busy at least: own dives that are still to come, and the pauses between them. A
// list that must wait for somebody later ranks behind one that need not.
import { has, movedOf } from "./line.js";

const TENTHS_OF_HALF = 300; // tenths of a metre, and seconds of a half minute

export class Loads {
  /** @param {CrewTask} task @param {any} label */
  constructor(task, label) {
    this.task = task;
    this.label = label;
    this.coming = [...task.dives.keys()].filter((place) => !has(label.done, place));
    this.takes = this.coming.reduce((sum, place) => sum + task.dives[place].takes, 0);
    this.all = task.people.map((_, person) => this.#load(person, -1, false));
    this.deep = task.people.map((_, person) => this.#load(person, -1, true));
  }

  /** The least waiting that is still to come after this dive: a function of its end and of who was safety. */
  after(dive, lineCost) {
    const { task, label: { free, deepFrom } } = this;
    const { person, pause, takes } = task.dives[dive];
    const idle = this.takes - takes + this.#setUps(this.coming.length - 1, lineCost);
    const own = this.#load(person, dive, false);
    let others = 0;
    for (const [place, load] of this.all.entries()) {
      if (place === person) continue;
      if (load > 0) others = Math.max(others, free[place] + load);
      if (this.deep[place] > 0) others = Math.max(others, deepFrom[place] + this.deep[place]);
    }
    for (const place of this.coming) {
      if (place !== dive) others = Math.max(others, (task.dives[place].fixed ?? 0) + task.dives[place].takes);
    }
    return (ends, option) => {
      let last = own > 0 ? Math.max(others, ends + pause + own) : others;
      for (const place of option) {
        if (this.deep[place] > 0) last = Math.max(last, ends + task.numbers.rest + this.deep[place]);
      }
      return Math.max(0, last - ends - idle);
    };
  }

  // From the start of the first to the end of the last of somebody's dives that are still to come, at least.
  #load(person, without, isDeep) {
    let sum = 0, longest = 0;
    for (const place of this.coming) {
      const dive = this.task.dives[place];
      if (dive.person !== person || place === without || (isDeep && !dive.beyond)) continue;
      sum += dive.takes + dive.pause;
      longest = Math.max(longest, dive.pause);
    }
    return sum - longest;
  }

  #setUps(many, lineCost) {
    const { setUpS, setUpPerM } = this.task.numbers;
    return Math.ceil((many * setUpS * 10 + setUpPerM * movedOf(lineCost)) / TENTHS_OF_HALF);
  }
}
