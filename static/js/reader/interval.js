// The surface interval: the chosen rules as rows of plain factors. Twin of webapp/planner/reader/interval.py.
import { fill, nth } from "./sentences.js";

const EXACT_S = 60; // logged times may be exact to the minute only

/**
 * The pause after the last of a day's dives as {seconds, rules, longer}, or null when there are none.
 * `dives` are in order, each {reached_m, dive_s, surfaced_s}. What is left of an earlier dive's pause goes on: a
 * shallow dive in between does not shorten it. `longer` says why it is longer than the rules ask for after this dive,
 * or null.
 * @param {Sheet} sheet
 * @param {Surfaced[]} dives
 */
export function pauseAfter(sheet, dives) {
  const day = new PauseDay(sheet);
  for (const dive of dives) day.add(dive);
  return day.pause;
}

/**
 * Null if the pause before this dive was kept, else {pause_s, needed_s}; `earlier` as in `pauseAfter`.
 * @param {Sheet} sheet
 * @param {Surfaced[]} earlier
 * @param {Surfaced} dive
 */
export function shortPause(sheet, earlier, dive) {
  const day = new PauseDay(sheet);
  for (const other of earlier) day.add(other);
  return day.add(dive);
}

/**
 * The dives of one day, added in order of surfacing; `pause` is what `pauseAfter` gives after the last one. The pause
 * after a dive is calculated when it is asked for: no one asks after the last dive of a logged day.
 */
export class PauseDay {
  /** @param {Sheet} sheet */
  constructor(sheet) {
    this.sheet = sheet;
    /** @type {Pause | null} */
    this.kept = null;
    /** @type {Surfaced | null} the last dive, while its pause was not asked for */
    this.open = null;
    this.repeats = repetitions(sheet.interval.repetition).map((numbers) => new Repeats(numbers));
    this.lastS = 0;
    /** @type {{ dive: Surfaced, seconds: number } | null} the dive whose own pause ends last, and that pause */
    this.running = null;
  }

  /**
   * Take in the day's next dive; {pause_s, needed_s} if the pause before it was too short, else null.
   * @param {Surfaced} dive
   */
  add(dive) {
    const before = this.pause;
    const short = before && this.#short(dive, before);
    this.open = dive;
    this.lastS = dive.surfaced_s;
    return short;
  }

  /** The pause after the last dive, null before the first. */
  get pause() {
    const dive = this.open;
    if (dive) {
      this.open = null;
      const asked = this.#asked(dive);
      this.kept = this.#withRunning(asked, dive);
      this.#remember(dive, asked.seconds);
    }
    return this.kept;
  }

  /** @param {Surfaced} dive @param {Pause} before */
  #short({ surfaced_s, dive_s }, before) {
    const pauseS = surfaced_s - dive_s - this.lastS;
    if (pauseS >= before.seconds - EXACT_S) return null;
    return { pause_s: Math.max(0, Math.floor(pauseS)), needed_s: before.seconds };
  }

  // The pause that this dive asks for, longer if it is one of several deep dives, or of many.
  /** @param {Surfaced} dive */
  #asked(dive) {
    const rules = needed(this.sheet.interval, dive.reached_m, dive.dive_s);
    const seconds = rules.length ? rules[0].seconds : 0;
    let times = 1, longer = null;
    for (const repeats of this.repeats) {
      const count = repeats.count(dive);
      if (count < repeats.dives || this.#times(count, repeats.dives) <= times) continue;
      times = this.#times(count, repeats.dives);
      longer = this.#why(count, repeats);
    }
    return { seconds: Math.ceil(seconds * times), rules, longer };
  }

  // How many times as long: the factor once for each full number of dives, up to the most.
  /** @param {number} count @param {number} dives */
  #times(count, dives) {
    const { factor, most_times: most = factor } = this.sheet.interval.repetition;
    let times = 1;
    for (let full = Math.floor(count / dives); full > 0 && times !== most; full -= 1) {
      times = Math.min(times * factor, most);
    }
    return times;
  }

  /** @param {number} count @param {Repeats} repeats */
  #why(count, { fromM, withinMin }) {
    const { words } = this.sheet;
    return fill(words.repeated, { nth: nth(count, words), depth: fromM, minutes: withinMin });
  }

  /** @param {Pause} asked @param {Surfaced} dive @returns {Pause} */
  #withRunning(asked, dive) {
    if (this.running === null) return asked;
    const { dive: earlier, seconds } = this.running;
    const leftS = Math.ceil(seconds - (dive.surfaced_s - earlier.surfaced_s));
    if (leftS <= asked.seconds) return asked;
    // a sheet from before this was known has no words for it
    const longer = fill(this.sheet.words.still_running ?? "", { depth: earlier.reached_m });
    return { ...asked, seconds: leftS, longer };
  }

  /** @param {Surfaced} dive @param {number} seconds */
  #remember(dive, seconds) {
    const before = this.running;
    if (before && dive.surfaced_s + seconds <= before.dive.surfaced_s + before.seconds) return;
    this.running = { dive, seconds };
  }
}

/** Counts the dives to a depth or deeper within some minutes; each dive is looked at twice at most. */
class Repeats {
  /** @param {[number, number, number]} numbers */
  constructor([fromM, dives, withinMin]) {
    this.fromM = fromM;
    this.dives = dives;
    this.withinMin = withinMin;
    /** @type {number[]} */
    this.surfaced = [];
    this.first = 0;
  }

  /** How many there are with this one; 0 if this one is shallower. @param {Surfaced} dive */
  count({ reached_m, surfaced_s }) {
    if (reached_m < this.fromM) return 0;
    this.surfaced.push(surfaced_s);
    const since = surfaced_s - 60 * this.withinMin;
    while (this.surfaced[this.first] < since) this.first += 1;
    return this.surfaced.length - this.first;
  }
}

// Depth, dives and minutes of each way to repeat; an older sheet has no row for many dives.
/** @param {Interval["repetition"]} table @returns {[number, number, number][]} */
function repetitions({ deep_m, dives, within_min, many_m, many_dives, many_within_min }) {
  const deep = /** @type {[number, number, number]} */ ([deep_m, dives, within_min]);
  return many_dives === undefined ? [deep] : [deep, [many_m, many_dives, many_within_min]];
}

/**
 * Each rule's pause after this dive as {name, seconds}, the longest first.
 * @param {Interval} table
 * @param {number} reached_m
 * @param {number} dive_s
 */
export function needed(table, reached_m, dive_s) {
  const bar = table.bars[Math.min(Math.ceil(reached_m), table.bars.length - 1)];
  return table.rules
    .filter((rule) => reached_m >= rule.from_m)
    .map((rule) => ({
      name: rule.name,
      seconds: Math.ceil(
        dive_s * rule.per_dive + dive_s * bar * rule.per_dive_bar + reached_m * rule.per_m + rule.fixed_s,
      ),
    }))
    .filter((pause) => pause.seconds > 0)
    .sort((one, other) => other.seconds - one.seconds);
}
