// How long the people of a list are busy at least: own dives that are still to come, and the pauses between them. A
// list that must wait for somebody later ranks behind one that need not.
import { has, movedOf } from "./line.js";

const TENTHS_OF_HALF = 300; // tenths of a metre in a metre, times the seconds of a half minute
const TENTHS = 10;

export class Loads {
  /** @param {CrewTask} task @param {any} label */
  constructor(task, label) {
    this.task = task;
    this.label = label;
    this.coming = [...task.dives.keys()].filter((place) => !has(label.done, place));
    this.allTakes = this.#sum("takes");
    this.allDuties = this.#sum("need");
    this.whole = task.people.map((_, person) => this.#load(person, -1, false));
    this.deep = task.people.map((_, person) => this.#load(person, -1, true));
    this.latest = task.people.map((_, person) => this.#latest(person));
    this.fixed = this.coming.filter((place) => task.dives[place].fixed !== null);
  }

  /** Ask from now on for what is to come after this dive. @param {number} dive @param {number} lineCost */
  look(dive, lineCost) {
    const { person, pause, takes, need, beyond } = this.task.dives[dive];
    this.idle = this.allTakes - takes + this.#setUps(this.coming.length - 1, lineCost);
    this.duties = this.allDuties - need;
    this.own = this.#load(person, dive, false);
    this.pause = pause;
    this.tiredAt = -1;
    this.rests = beyond ? this.task.numbers.rest : 0;
    this.others = 0;
    for (const [place, latest] of this.latest.entries()) {
      if (place !== person && latest > this.others) this.others = latest;
    }
    for (const place of this.fixed) if (place !== dive) this.others = Math.max(this.others, this.#fixedEnd(place));
  }

  /** The least waiting that is still to come when the dive ends here, with these as safety. */
  wait(ends, option) {
    let last = this.others;
    if (this.own > 0) last = Math.max(last, ends + this.pause + this.own);
    for (const place of option) {
      if (this.deep[place] > 0) last = Math.max(last, ends + this.task.numbers.rest + this.deep[place]);
    }
    return Math.max(0, last - ends - this.idle);
  }

  /** How long everybody must still rest then, all together. */
  tired(ends, option) {
    if (this.tiredAt !== ends) this.#tire(ends);
    let sum = this.tiredSum;
    for (const place of option) if (this.deep[place] > 0) sum += this.task.numbers.rest - this.#deepRest(place, ends);
    return sum;
  }

  #tire(ends) {
    const { rested } = this.label;
    this.tiredAt = ends;
    this.tiredSum = this.rests;
    for (let place = 0; place < rested.length; place += 1) {
      this.tiredSum += Math.max(0, rested[place] - ends);
      if (this.deep[place] > 0) this.tiredSum += this.#deepRest(place, ends);
    }
  }

  #deepRest(place, ends) {
    return Math.max(0, this.label.deepFrom[place] - ends, this.label.free[place] - ends);
  }

  #sum(name) {
    return this.coming.reduce((sum, place) => sum + this.task.dives[place][name], 0);
  }

  // When somebody is through with all own dives, at the earliest.
  #latest(person) {
    const { free, deepFrom } = this.label;
    const whole = this.whole[person] > 0 ? free[person] + this.whole[person] : 0;
    return Math.max(whole, this.deep[person] > 0 ? deepFrom[person] + this.deep[person] : 0);
  }

  #fixedEnd(place) {
    const { fixed, takes } = this.task.dives[place];
    return fixed + takes;
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
    return Math.ceil((many * setUpS * TENTHS + setUpPerM * movedOf(lineCost)) / TENTHS_OF_HALF);
  }
}
