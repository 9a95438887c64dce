// The reader: folds a log over the ladder sheet and says what comes next; it holds no number of the trade.
// Twin of webapp/planner/reader/ladder.py, the authority; tests/browser/test_readers.py proves that both agree.
import { NOTHING, saidByDay } from "./boat_day.js";
import { again, markNewBests, noDeeperThan, planned, tick, withoutSecondTry } from "./daylist.js";
import { PauseDay } from "./interval.js";
import { mostM, notAllowed, noted, overOf, rushed } from "./noted.js";
import { goalSaid, goalsOf, reached, reaches, wins } from "./outlook.js";
import { easyWhy, noDeeperThanProposed } from "./proposed.js";
import { number } from "./sentences.js";
import { NO_IDLE, State, depthM } from "./state.js";
import { isOutside, judge } from "./verdict.js";

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
    this.today = number(today);
    this.state = new State(sheet, log);
    this.known = null; // where each ladder stands before the first dive that is only assumed
    this.marks = /** @type {{ [name: string]: Mark[] }} */ ({});
    this.starts = {};
    this.next = null;
    this.said = saidByDay(log);
    this.forbidden = [null, null]; // why no dive, and no deep dive, was allowed on the day
    this.dives = log.filter(({ kind }) => kind === "dive").sort(byTime);
  }

  plan() {
    const { days, book } = this.sheet;
    const [firstDay, lastDay] = [days[0].date, days.at(-1).date];
    const byDay = grouped(this.dives);
    const outside = (keep) =>
      [...byDay].filter(([day]) => keep(day)).forEach(([day, dives]) => this.divedOutside(number(day), dives));
    const early = new Map([...byDay].filter(([day]) => day < firstDay).map(([day, dives]) => [number(day), dives]));
    const said = [...this.said.keys()].filter((n) => n < number(firstDay));
    for (const n of [...new Set([...early.keys(), ...said])].sort((one, other) => one - other)) {
      this.divedOutside(n, early.get(n) ?? []);
      this.state.rested(n, this.said.get(n) ?? NOTHING);
    }
    const planned = days.map((slot) => this.day(slot, byDay.get(slot.date) ?? []));
    outside((day) => day > lastDay);
    const disciplines = mapped(this.state.ladders, (_, name) => this.summary(name));
    const stand_down = this.state.harm.standDown(this.words, this.today);
    return { days: planned, disciplines, next: this.next, stand_down, book };
  }

  // Plan a day from what is known before it; then take in what was done, or assume that the plan goes clean.
  /** @param {SheetDay} slot @param {Dive[]} dives */
  day(slot, dives) {
    const { state } = this;
    const n = number(slot.date);
    if (state.sheet.until !== null && slot.date >= state.sheet.until) state.enter();
    if (n >= this.today) this.foresee(n);
    state.ledBy(slot.lead);
    const said = this.said.get(n) ?? NOTHING;
    const wanted = slot.kind === "dive" ? state.wanted(n, said) : null;
    const [kind, why] = this.kind(slot, n, wanted, said);
    const listed = wanted === null ? [] : this.listed(slot, n, wanted, kind);
    /** @type {Day} */
    const out = { date: slot.date, block: slot.block, kind, why, dives: listed, done: [], over: null };
    if (wanted !== null && said.proposed.length > 0) out.proposed = said.proposed;
    this.divedInside(n, wanted, dives, out);
    if (wanted !== null && n >= this.today && out.over === null) this.ahead(n, wanted, out);
    state.rested(n, said);
    return out;
  }

  // What kind of day this is, and the sentence that says why.
  /** @param {SheetDay} slot @param {number} n @param {Wanted} wanted @param {Said} said */
  kind(slot, n, wanted, said) {
    const { state, words } = this;
    const { harm } = state;
    if (wanted === null) return [slot.kind, words[slot.why ?? slot.kind]];
    const stop = harm.stopSays(words, n);
    if (stop !== null) return ["stand-down", stop];
    if (said.no_diving) {
      return ["off", state.say("no_diving", { why: state.sheet.no_diving[said.no_diving].says.toLowerCase() })];
    }
    if (said.not_ready.length > 0) return ["easy", state.notReadySays(said.not_ready)];
    if (n < harm.noDeepBefore) {
      const until = state.on(harm.noDeepBefore);
      return ["easy", state.say(harm.noDeepWhy, { until, date: state.on(harm.noDeepN) })];
    }
    const asked = easyWhy(words, said, wanted.name, state.rungM(wanted.name, wanted.rung));
    if (asked !== null) return ["easy", asked];
    const easy = state.rest.easy(state.sheet.spacing, n, state.rungM(wanted.name, wanted.rung));
    if (easy === null) return ["deep", wanted.why];
    const [key, values, of] = easy;
    return ["easy", state.say(key, { ...values, date: state.on(of) })];
  }

  // The planned dives of a day, with what each says of bests and goals.
  /** @param {SheetDay} slot @param {number} n @param {Wanted} wanted @param {string} kind */
  listed(slot, n, wanted, kind) {
    const { state } = this;
    const { name } = wanted;
    const drills = slot.drills === undefined ? [] : state.sheet.drill_sets[slot.drills];
    const near = mapped(state.now, (_, key) => (key === name ? wanted : state.opened(key, n)).rung);
    const dives = planned(state.sheet, wanted, kind, drills, near, (some) => state.comfortable(some));
    noDeeperThanProposed(dives, this.said.get(n) ?? NOTHING);
    markNewBests(dives, this.words, state.best);
    if (kind !== "deep") return dives;
    const deep = dives.find((dive) => dive.role === "deep");
    this.starts[name] ??= deep.target_m;
    const said = goalSaid(this.words, state.ladders[name], this.marks[name] ?? [], deep.target_m);
    if (said) deep.reaches = said;
    return dives;
  }

  // Offer the deep dive that is still open, and assume that it goes clean; a second try is never assumed.
  /** @param {number} n @param {Wanted} wanted @param {Day} out */
  ahead(n, wanted, out) {
    const { state } = this;
    const still = out.dives.find((dive) => dive.role === "deep" && dive.done === null);
    if (!still) return;
    const secondTry = "again" in still;
    if (state.rest.n === n && !secondTry) { // one deep dive a day, even when it was not the planned one
      out.dives.splice(out.dives.indexOf(still), 1);
      return;
    }
    this.next ??= { date: out.date, ...still };
    if (secondTry) return;
    const target = still.target_m;
    this.known ??= mapped(state.now, (_, name) => state.stands(name));
    state.rest.add(state.sheet.spacing, n, target);
    this.mark(wanted.name, { date: out.date, depth_m: target, done: false });
    state.assumed(n, wanted.name, target);
    state.begun(n, wanted, target);
    state.climbed(wanted, { verdict: "clean", reached_m: target, effort: null, is_outside: false }, true);
  }

  // Let what is dated after today, by a clock that is wrong or a slip, count from today on.
  foresee(n) {
    for (const dive of [...this.dives].reverse()) {
      if (number(dive.date) <= n) return;
      this.state.harmed(number(dive.date), dive, judge(this.state.sheet, dive));
    }
  }

  // Take in the dives of a day before or after the season: they count for spacing, depth and what harmed.
  /** @param {number} n @param {Dive[]} dives */
  divedOutside(n, dives) {
    const { state } = this;
    for (const dive of dives) {
      const verdict = judge(state.sheet, dive);
      if (state.isDeep(dive, null)) {
        state.rest.add(state.sheet.spacing, n, dive.reached_m);
        state.idle = NO_IDLE;
        if (verdict.name === "clean") state.divedCleanOutside(dive.reached_m);
      }
      state.learned(n, dive, verdict.name === "clean");
      state.harmed(n, dive, verdict);
    }
  }

  // Take in the dives of a day of the season in the order of diving, and write them into the day.
  /** @param {number} n @param {Wanted} first @param {Dive[]} dives @param {Day} out */
  divedInside(n, first, dives, out) {
    const { state } = this;
    let wanted = first;
    let tries = 0; // at the planned deep dive
    let beforeM = 0; // the deepest target or depth of the day so far
    let isOpen = out.kind === "deep";
    const pauses = dives.length > 1 ? new PauseDay(state.sheet) : null;
    this.forbidden = state.forbids(n, this.said.get(n) ?? NOTHING);
    for (const dive of dives) {
      const verdict = judge(state.sheet, dive);
      const onPlan = isOpen && out.over === null && isLed(dive, wanted);
      const hurried = pauses ? rushed(this.words, dive, pauses) : [];
      this.added(dive, verdict, onPlan ? wanted : null, onPlan && tries ? 0 : beforeM, hurried, out);
      if (state.isDeep(dive, wanted)) {
        state.rest.add(state.sheet.spacing, n, dive.reached_m);
        state.taxed(n, dive);
        beforeM = Math.max(beforeM, dive.target_m ?? dive.reached_m);
        if (!onPlan) withoutSecondTry(out.dives);
      }
      state.learned(n, dive, verdict.name === "clean");
      if (onPlan) state.begun(n, wanted, dive.reached_m);
      state.harmed(n, dive, verdict);
      if (onPlan) {
        tries += 1;
        isOpen = tries === 1 && verdict.name === "turned" && this.mayTryAgain(dive);
        wanted = this.moved(wanted, dive, verdict);
        if (isOpen) this.offerSecondTry(wanted, dive, out);
      }
      const most = mostM(state.sheet, dive);
      if (most !== null) noDeeperThan(out.dives, most, this.words);
    }
  }

  // Move the ladder by a dive on the plan; what a second try would be: never deeper than the first.
  /** @param {Wanted} wanted @param {Dive} dive @param {Verdict} verdict @returns {Wanted} */
  moved(wanted, dive, verdict) {
    const { state } = this;
    const { reached_m, effort } = dive;
    const deed = { verdict: verdict.name, reached_m, effort, is_outside: isOutside(state.sheet, dive) };
    state.climbed(wanted, deed, false);
    const standing = state.now[wanted.name];
    const why = standing.rung < wanted.rung ? standing.why : "";
    return { ...wanted, standing, rung: Math.min(wanted.rung, standing.rung), why };
  }

  // Put a second try behind the planned deep dive that was turned early.
  offerSecondTry(wanted, turned, out) {
    const index = out.dives.findIndex((one) => one.role === "deep");
    out.dives.splice(index + 1, 0, again(this.state.sheet, wanted, turned));
    markNewBests(out.dives, this.words, this.state.best);
  }

  // Write a dive into its day. `wanted` is the planned deep dive that it was meant as, null for any other.
  /** @param {Dive} dive @param {Verdict} verdict @param {Wanted} wanted @param {number} beforeM
   * @param {string[]} hurried @param {Day} out */
  added(dive, verdict, wanted, beforeM, hurried, out) {
    const { state, words } = this;
    const { numbers } = state.sheet;
    const isDeep = dive.role === "deep" || state.isDeep(dive, null);
    const flags = [...notAllowed(words, this.forbidden, isDeep), ...(out.over !== null ? [words.after_over] : [])];
    const isAllowed = flags.length === 0;
    if (dive.role === "deep" && wanted === null) flags.push(words.off_plan);
    if (wanted !== null) {
      const depth = state.rungM(wanted.name, wanted.rung);
      if (dive.target_m > depth + numbers.tolerance_m) {
        flags.push(state.say("target_deeper", { target: dive.target_m, depth }));
      }
    }
    if (beforeM && dive.reached_m >= numbers.second_dive_share * beforeM) {
      flags.push(state.say("second_deep", { percent: numbers.second_dive_percent }));
    }
    out.done.push(noted(state.sheet, dive, verdict, [...flags, ...hurried]));
    out.over = overOf(state.sheet, dive, verdict) ?? out.over;
    if (wanted !== null || dive.role !== "deep") tick(out.dives, dive);
    if (verdict.name !== "clean") return;
    const { discipline: name, date } = dive;
    const [ladder, depth_m] = [state.ladders[name], depthM(dive)];
    const won = ladder ? wins(words, ladder, this.marks[name] ?? [], state.best[name], depth_m) : [];
    if (won.length > 0 && isAllowed) out.done.at(-1).wins = won;
    this.mark(name, { date, depth_m, done: true });
  }

  mark(name, mark) {
    (this.marks[name] ??= []).push(mark);
  }

  // Whether a turned dive leaves a second try: turned early, without a sign and without hard effort.
  mayTryAgain(dive) {
    const { hard_effort, second_try_share } = this.state.sheet.numbers;
    const calm = dive.signs.length === 0 && (dive.effort === null || dive.effort < hard_effort);
    return calm && dive.reached_m < second_try_share * dive.target_m;
  }

  /** Where a ladder stands now, how far it reaches, where it ends, and its goals. @returns {Summary} */
  summary(name) {
    const { state } = this;
    const [ladder, marks] = [state.ladders[name], this.marks[name] ?? []];
    return {
      start_m: this.starts[name] ?? state.rungM(name, ladder.stands),
      ...(this.known?.[name] ?? state.stands(name)),
      reached_m: reached(marks),
      reaches_m: reaches(marks),
      ends_m: ladder.end_m,
      ends_says: ladder.ends_says,
      goals: goalsOf(this.words, ladder, marks, this.today > number(this.sheet.days.at(-1).date)),
    };
  }
}

/** @template From, To @param {{ [name: string]: From }} values @param {(value: From, name: string) => To} make */
function mapped(values, make) {
  return Object.fromEntries(Object.entries(values).map(([name, value]) => [name, make(value, name)]));
}

/** @param {Dive[]} dives */
function grouped(dives) {
  const days = new Map();
  for (const dive of dives) (days.get(dive.date) ?? days.set(dive.date, []).get(dive.date)).push(dive);
  return days;
}

// By date, then time of surfacing, then order of logging, then id.
function byTime(one, other) {
  const [a, b] = [one, other].map((dive) => [dive.date, dive.at || "", dive.logged_at || "", dive.id]);
  const differs = a.findIndex((part, index) => part !== b[index]);
  return differs < 0 ? 0 : a[differs] < b[differs] ? -1 : 1;
}

/** Whether a dive was meant as the deep dive of the day's main discipline. @param {Dive} dive @param {Wanted} wanted */
function isLed(dive, wanted) {
  return dive.role === "deep" && dive.discipline === wanted.name && dive.target_m !== null;
}
