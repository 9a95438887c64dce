// The reader: folds a log over the ladder sheet and says what comes next; it holds no number of the trade.
// Twin of webapp/planner/reader/ladder.py, the authority; tests/browser/test_readers.py proves that both agree.
import { again, planned, rungOf, tick, withoutSecondTry } from "./daylist.js";
import { goalsOf, reaches } from "./outlook.js";
import { dateWords, fill } from "./sentences.js";
import { holds, isCleared, iso, stopSays, stopValues, widened } from "./standdown.js";
import { lowered, moved, resumed } from "./standing.js";
import { judge } from "./verdict.js";

const [NEVER, DAY_MS] = [-1000000, 86400000];

/**
 * The plan of this sheet with this log on this day: days with targets, each ladder's standing and goals, the next deep
 * dive, the stand-down. What was logged counts; from today on each dive not yet logged is taken as clean.
 * @param {Sheet} sheet @param {Dive[]} log @param {string} today @returns {Plan}
 */
export function read(sheet, log, today) {
  return new Fold(sheet, log, today).plan();
}

// One pass over the days. What it learns on the way stays in here; nothing that was given to it is changed.
class Fold {
  /** @param {Sheet} sheet @param {Dive[]} log @param {string} today */
  constructor(sheet, log, today) {
    this.sheet = sheet;
    this.words = sheet.words;
    this.numbers = sheet.numbers;
    this.ladders = sheet.disciplines;
    this.today = number(today);
    this.first = number(sheet.first_day);
    this.now = mapped(this.ladders, ({ start, start_why }) => ({ rung: start, clean: 0, run: 0, why: start_why }));
    this.known = /** @type {typeof this.now} */ (null); // the standings before the first dive that is only assumed
    this.marks = mapped(this.ladders, () => /** @type {Mark[]} */ ([]));
    this.last = { n: NEVER, depth_m: 0, streak: 0 }; // the last deep dive, and how many days in a row had one
    this.lmcN = NEVER;
    this.noDeepBefore = NEVER;
    this.stop = /** @type {Stop} */ (null);
    this.lead = sheet.days[0].lead;
    this.next = null;
    this.dives = log.filter(({ kind }) => kind === "dive").sort(byTime);
    this.cleared = log.filter(({ kind }) => kind === "clearance").map((record) => number(record.clearance));
  }

  plan() {
    const { days, first_day } = this.sheet;
    const lastDay = days.at(-1).date;
    const byDay = grouped(this.dives);
    const outside = (keep) =>
      [...byDay].filter(([day]) => keep(day)).forEach(([day, dives]) => this.divedOutside(number(day), dives));
    outside((day) => day < first_day);
    const planned = days.map((one) => this.day(one, byDay.get(one.date) ?? []));
    outside((day) => day > lastDay);
    const disciplines = mapped(this.ladders, (_, name) => this.summary(name));
    return { days: planned, disciplines, next: this.next, stand_down: this.standDown() };
  }

  // Plan a day from what is known before it; then take in what was done, or assume that the plan goes clean.
  /** @param {SheetDay} one @param {Dive[]} dives */
  day(one, dives) {
    const n = number(one.date);
    this.lead = one.lead ?? this.lead;
    const [kind, why] = this.kind(one.kind, n);
    const listed = planned(this.sheet, this.lead, this.now, kind);
    /** @type {Day} */
    const out = { date: one.date, block: one.block, kind, why, dives: listed, done: [], over: null };
    this.divedInside(n, dives, out);
    if (n >= this.today && out.over === null) this.ahead(n, out);
    return out;
  }

  // Offer the deep dive that is still open, and assume that it goes clean; a second try is never assumed.
  /** @param {number} n @param {Day} out */
  ahead(n, out) {
    const still = out.dives.find((dive) => dive.role === "deep" && dive.done === null);
    if (!still) return;
    const secondTry = "again" in still;
    if (this.last.n === n && !secondTry) { // one deep dive a day, even when it was not the planned one
      out.dives.splice(out.dives.indexOf(still), 1);
      return;
    }
    this.next ??= { date: out.date, ...still };
    if (secondTry) return;
    this.known ??= { ...this.now };
    this.spaced(n, still.target_m);
    this.marks[this.lead].push({ date: out.date, depth_m: still.target_m, done: false });
    this.climbed(this.lead, "clean", still.target_m, true);
  }

  // What kind of day this is, and the sentence that says why.
  kind(kind, n) {
    if (kind !== "dive") return [kind, this.words[kind]];
    if (holds(this.stop, this.cleared, n)) return ["stand-down", stopSays(this.words, this.stop, this.cleared, n)];
    if (n < this.noDeepBefore) {
      return ["easy", this.say("easy_lmc", { until: this.on(this.noDeepBefore), date: this.on(this.lmcN) })];
    }
    const { last } = this;
    const depth = Math.max(this.rungM(this.lead), last.depth_m);
    const spacing = this.sheet.spacing.find((row) => row.to_m === null || depth <= row.to_m);
    if (n - last.n < spacing.min_days) {
      return ["easy", this.say("easy_gap", { depth, days: spacing.min_days, date: this.on(last.n) })];
    }
    if (n - last.n === 1 && last.streak >= spacing.max_in_a_row) {
      return ["easy", this.say("easy_row", { count: last.streak, date: this.on(last.n) })];
    }
    return ["deep", this.now[this.lead].why];
  }

  spaced(n, depth_m) {
    const { last } = this;
    if (n === last.n) this.last = { ...last, depth_m: Math.max(last.depth_m, depth_m) };
    else this.last = { n, depth_m, streak: n === last.n + 1 ? last.streak + 1 : 1 };
  }

  // Take in the dives of a day before or after the season: they count for spacing and for what harmed.
  divedOutside(n, dives) {
    for (const dive of dives) {
      if (this.isDeep(dive)) this.spaced(n, dive.reached_m);
      this.harmed(n, dive, judge(this.sheet, dive));
    }
  }

  // Take in the dives of a day of the season in the order of diving, and write them into the day.
  /** @param {number} n @param {Dive[]} dives @param {Day} out */
  divedInside(n, dives, out) {
    let tries = 0; // at the planned deep dive
    let beforeM = 0; // the deepest target or depth of the day so far
    let isOpen = out.kind === "deep";
    for (const dive of dives) {
      const verdict = judge(this.sheet, dive);
      const onPlan = isOpen && out.over === null && this.isLed(dive);
      this.noted(dive, verdict, onPlan, onPlan && tries ? 0 : beforeM, out);
      if (this.isDeep(dive)) {
        this.spaced(n, dive.reached_m);
        beforeM = Math.max(beforeM, dive.target_m ?? dive.reached_m);
        if (!onPlan) withoutSecondTry(out.dives);
      }
      this.harmed(n, dive, verdict);
      if (!onPlan) continue;
      tries += 1;
      isOpen = tries === 1 && verdict.name === "turned" && this.mayTryAgain(dive);
      this.climbed(this.lead, verdict.name, dive.reached_m, false);
      if (isOpen) this.offerSecondTry(dive, out);
    }
  }

  // Put a second try behind the planned deep dive that was turned early.
  offerSecondTry(turned, out) {
    const index = out.dives.findIndex((one) => one.role === "deep");
    out.dives.splice(index + 1, 0, again(this.sheet, this.lead, this.now[this.lead], turned));
  }

  // Write a dive into its day: what it was, what the log says of it, what is odd about it.
  /** @param {Dive} dive @param {Verdict} verdict @param {boolean} onPlan @param {number} beforeM @param {Day} out */
  noted(dive, verdict, onPlan, beforeM, out) {
    const { words, numbers } = this;
    const flags = out.over !== null ? [words.after_over] : [];
    const { over, says: plainly } = this.sheet.verdicts[verdict.name];
    const more = this.deeperM(dive);
    const tellsClean = verdict.name === "clean" && "clean_deeper" in words; // a sheet from before has no words for it
    if (more) flags.push(this.say(tellsClean ? "deeper_counts" : "deeper", { more, depth: dive.target_m }));
    const says = more && tellsClean ? this.say("clean_deeper", { more }) : plainly;
    if (dive.role === "deep" && !onPlan) flags.push(words.off_plan);
    if (beforeM && dive.reached_m >= numbers.second_dive_share * beforeM) {
      flags.push(this.say("second_deep", { percent: numbers.second_dive_percent }));
    }
    const { id, discipline, role, target_m, reached_m } = dive;
    const said = { verdict: verdict.name, says, flags, care: verdict.care };
    out.done.push({ id, discipline, role, target_m, reached_m, ...said });
    out.over = over ?? out.over;
    if (onPlan || role !== "deep") tick(out.dives, dive);
    if (verdict.name === "clean" && discipline in this.marks) {
      this.marks[discipline].push({ date: dive.date, depth_m: Math.max(reached_m, target_m ?? 0), done: true });
    }
  }

  // How much deeper than its target a dive was, in tenths of a metre; 0 when it need not be said.
  deeperM(dive) {
    if (dive.target_m === null || dive.reached_m < dive.target_m + this.numbers.deeper_m) return 0;
    return Math.round((dive.reached_m - dive.target_m) * 10) / 10;
  }

  // Take in what the heavier verdicts do, whatever the dive was for: days without deep dives, a stand-down. What
  // happened before the season lowers its ladders too, as long as it still holds on the first day.
  /** @param {number} n @param {Dive} dive @param {Verdict} verdict */
  harmed(n, dive, verdict) {
    const table = this.sheet.verdicts[verdict.name];
    const name = dive.discipline;
    if (table.no_deep_days) {
      this.lmcN = n;
      this.noDeepBefore = Math.max(this.noDeepBefore, n + table.no_deep_days + 1);
    }
    if (table.down && name in this.now && this.noDeepBefore > this.first) {
      this.now[name] = lowered(this.now[name], table.down, this.say("lmc", { date: this.on(n), down: table.down }));
    }
    if (table.stands_down) this.stood(n, verdict);
  }

  stood(n, verdict) {
    const stop = { since: n, until: n + verdict.days, what: verdict.name, care: verdict.care };
    const day = Math.max(n, this.first);
    if (holds(stop, this.cleared, day) && !holds(this.stop, this.cleared, day)) {
      const said = stopValues(this.words, stop);
      this.now = mapped(this.now, (now, name) => resumed(this.sheet, this.ladders[name], now, said));
    }
    this.stop = widened(this.stop, this.cleared, stop);
  }

  // Move the ladder by a clean, hard or turned dive on the plan; `harmed` sees to the rest.
  climbed(name, verdict, reached_m, assumed) {
    if (this.sheet.verdicts[verdict].over !== null) return;
    this.now[name] = moved(this.sheet, this.ladders[name], this.now[name], verdict, reached_m, assumed);
  }

  /** Whether a dive was meant as the deep dive of the main discipline. @param {Dive} dive */
  isLed(dive) {
    return dive.role === "deep" && dive.discipline === this.lead && dive.target_m !== null;
  }

  /** Whether a dive counts for the spacing: a deep dive, or any other that came near the rung. @param {Dive} dive */
  isDeep(dive) {
    const name = dive.discipline in this.now ? dive.discipline : this.lead;
    return dive.role === "deep" || dive.reached_m >= this.numbers.second_dive_share * this.rungM(name);
  }

  // Whether a turned dive leaves a second try: turned early, without a sign and without hard effort.
  mayTryAgain(dive) {
    const calm = dive.signs.length === 0 && (dive.effort === null || dive.effort < this.numbers.hard_effort);
    return calm && dive.reached_m < this.numbers.second_try_share * dive.target_m;
  }

  /** Where a ladder stands now, how far it reaches, and its goals. @param {string} name @returns {Summary} */
  summary(name) {
    const ladder = this.ladders[name];
    const now = (this.known ?? this.now)[name];
    return {
      start_m: ladder.rungs[ladder.start].depth_m,
      rung_m: ladder.rungs[now.rung].depth_m,
      clean_on_rung: now.clean,
      reaches_m: reaches(this.marks[name]),
      goals: goalsOf(this.words, ladder, this.marks[name]),
    };
  }

  /** The stand-down as it stands today. @returns {StandDown} */
  standDown() {
    const { stop, cleared, today } = this;
    if (!holds(stop, cleared, today)) return null;
    return {
      since: iso(stop.since),
      until: iso(stop.until),
      needs_clearance: !isCleared(stop, cleared, today),
      why: stopSays(this.words, stop, cleared, today),
      care: stop.care,
    };
  }

  rungM(name) {
    return rungOf(this.sheet, name, this.now).depth_m;
  }

  say(key, values) {
    return fill(this.words[key], values);
  }

  on(n) {
    return dateWords(iso(n), this.words);
  }
}

// Days; the readers compare only differences.
function number(day) {
  return Date.parse(day) / DAY_MS;
}

/**
 * @template From, To
 * @param {{ [name: string]: From }} values
 * @param {(value: From, name: string) => To} make
 * @returns {{ [name: string]: To }}
 */
function mapped(values, make) {
  return Object.fromEntries(Object.entries(values).map(([name, value]) => [name, make(value, name)]));
}

/** @param {Dive[]} dives */
function grouped(dives) {
  const days = new Map();
  for (const dive of dives) {
    if (!days.has(dive.date)) days.set(dive.date, []);
    days.get(dive.date).push(dive);
  }
  return days;
}

/** By date, then time of surfacing, then id. @param {Dive} one @param {Dive} other */
function byTime(one, other) {
  const [a, b] = [one, other].map((dive) => [dive.date, dive.at || "", dive.id]);
  const differs = a.findIndex((part, index) => part !== b[index]);
  return differs < 0 ? 0 : a[differs] < b[differs] ? -1 : 1;
}
