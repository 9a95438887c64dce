// What the reader knows of a diver on one day: ladders, comfortable depths, bests, rest and harm.
// Twin of webapp/planner/reader/state.py. Days are day numbers.
import { comfortableM, divedClean, nearOn, opened } from "./comfort.js";
import { Harm } from "./harm.js";
import { limited } from "./limit.js";
import { capWhy, mostM } from "./proposed.js";
import { NEVER, Rest } from "./rest.js";
import { dateWords, fill, number, steps } from "./sentences.js";
import { iso } from "./standdown.js";
import { carried, moved, rungAt, standingAt } from "./standing.js";

export const NO_IDLE = { days: 0, rungs: 0, why: "", said: "" };

/** The state of one pass over the days; nothing that is given to it is changed. */
export class State {
  /** @param {Sheet} sheet @param {Dive[]} log */
  constructor(sheet, log) {
    this.words = sheet.words;
    this.stages = [...sheet.past.map((past) => ({ ...sheet, ...past })), { ...sheet, until: null }];
    this.ladders = /** @type {Sheet["disciplines"]} */ ({});
    this.now = /** @type {Standings} */ ({});
    this.comfort = /** @type {{ [name: string]: Comfort }} */ ({});
    this.best = /** @type {{ [name: string]: number }} */ ({});
    this.rest = new Rest();
    const cleared = log.filter(({ kind }) => kind === "clearance").map((record) => number(record.clearance));
    this.harm = new Harm(cleared, number(sheet.first_day));
    this.idle = NO_IDLE;
    this.enter();
    this.lead = sheet.days[0].lead ?? Object.keys(this.now)[0];
  }

  // Go on with the next stage of the season: each standing goes on by its depth, or where the change set it.
  enter() {
    this.sheet = this.stages.shift();
    const before = this.ladders;
    this.ladders = this.sheet.disciplines;
    const standings = /** @type {Standings} */ ({});
    for (const [name, ladder] of Object.entries(this.ladders)) {
      this.best[name] = Math.max(this.best[name] ?? 0, ladder.best_m);
      const given = standingAt({ rung: ladder.stands, why: ladder.stands_why, is_set: ladder.is_given });
      // what happened since its comfortable dive counts for a ladder that is new as for the others
      const fresh = name in before ? given : this.harm.entered(name, ladder, given, number(ladder.near_on));
      const there = name in before ? carried(before[name], ladder, this.now[name]) : fresh;
      if (name in before && !this.sheet.restarts.includes(name)) {
        standings[name] = there;
        continue;
      }
      // what an event did to the ladder is not undone by a new start
      standings[name] = this.harm.applied.size > 0 && there.rung < fresh.rung ? there : fresh;
      const { comfortable_m: given_m, repeats, near_on } = ladder;
      this.comfort[name] = { given_m, repeats, near_n: number(near_on), deepest: [] };
    }
    this.now = standings;
  }

  // The main discipline of a day; between blocks it stays, and a change may have taken it away.
  ledBy(name) {
    this.lead = name ?? this.lead;
    if (!(this.lead in this.now)) this.lead = Object.keys(this.now)[0];
  }

  /**
   * The deep dive of a day, as far as the ladders and what was said of the day go: the deepest rung that is no deeper
   * than a coach proposed; the lowest one when all are.
   * @param {number} n @param {Said} said @returns {Wanted}
   */
  wanted(n, said) {
    const wanted = this.asked(n, said);
    const { name, standing } = wanted;
    const most = mostM(said, name);
    if (most === null || this.rungM(name, wanted.rung) <= most) return wanted;
    return { name, standing, rung: rungAt(this.ladders[name], most), why: capWhy(said, name), is_asked: true };
  }

  // The deep dive of a day, as far as the ladders and the diver's word for the day go.
  /** @param {number} n @param {Said} said @returns {Wanted} */
  asked(n, said) {
    const name = this.lead;
    const usual = this.opened(name, n);
    const usualM = this.rungM(name, usual.rung);
    if (said.main && said.main !== name && said.main in this.now) return this.instead(n, said.main, usualM);
    const held = usual.dived === null || !said.hold ? usual.rung : Math.min(usual.rung, usual.dived);
    const rung = Math.max(0, Math.min(held, usual.rung - said.shallower));
    if (rung === usual.rung) return { name, standing: usual, rung, why: usual.why, is_asked: false };
    const why = held > rung
      ? this.say("asked_shallower", { steps: steps(usual.rung - rung, this.words), depth: usualM })
      : this.say("asked_hold", { depth: this.rungM(name, rung) });
    return { name, standing: usual, rung, why, is_asked: true };
  }

  // The deep dive in the discipline that the diver asked for, no deeper than the usual one.
  /** @param {number} n @param {string} name @param {number} most_m @returns {Wanted} */
  instead(n, name, most_m) {
    const standing = this.opened(name, n);
    const rung = Math.min(standing.rung, rungAt(this.ladders[name], most_m));
    const why = this.say("asked_main", { discipline: name, planned: this.lead });
    return { name, standing, rung, why, is_asked: rung < standing.rung };
  }

  /** The standing with which a deep dive of this discipline begins on day `n`. @returns {Standing} */
  opened(name, n) {
    const ladder = this.ladders[name];
    const { rungs, why, said } = this.idle;
    const idle = { days: n - this.lastDeep(name), rungs, why, said };
    const standing = opened(this.sheet, ladder, this.now[name], this.comfort[name], n, idle);
    return limited(this.sheet, ladder, this.harm.limit, standing);
  }

  // The day of the last deep dive: of the log, else the comfortable dive with which the season begins.
  lastDeep(name) {
    return this.rest.n !== NEVER ? this.rest.n : this.comfort[name].near_n;
  }

  // Take in how deep a dive went: for the time away, and if it was clean, for comfortable depth and best. For the
  // comfortable depth it counts with its target: what went deeper by chance is no habit.
  /** @param {number} n @param {Dive} dive @param {boolean} isClean */
  learned(n, dive, isClean) {
    const { discipline: name, target_m, reached_m } = dive;
    if (isClean && name in this.best) this.best[name] = Math.max(this.best[name], depthM(dive));
    if (isClean) this.comforted(n, name, target_m ?? reached_m);
    this.neared(n, reached_m);
  }

  // Take in a dive to come as if it were clean; it is no best before it is dived.
  assumed(n, name, target_m) {
    this.comforted(n, name, target_m);
    this.neared(n, target_m);
  }

  // Take in a clean dive for the comfortable depth of its discipline.
  comforted(n, name, clean_m) {
    const { comfort } = this;
    if (name in comfort && n >= comfort[name].near_n) comfort[name] = divedClean(comfort[name], clean_m);
  }

  // Take in a dive for the time away of every discipline.
  neared(n, reached_m) {
    const { comfort } = this;
    const share = this.sheet.numbers.near_share;
    for (const key in comfort) {
      const one = comfort[key];
      if (n > one.near_n && reached_m >= share * comfortableM(one)) comfort[key] = nearOn(one, n);
    }
  }

  // Take in what the heavier verdicts do, whatever the dive was for; every sign's consequence holds.
  /** @param {number} n @param {Dive} dive @param {Verdict} verdict */
  harmed(n, dive, verdict) {
    for (const event of verdict.events) {
      this.now = this.harm.happened(this.sheet, this.now, n, dive, event, verdict.care);
    }
  }

  // A clean deep dive outside the season: near the depth of the event it counts for its limit.
  divedCleanOutside(reached_m) {
    const { limit } = this.harm;
    if (limit !== null && reached_m >= this.sheet.numbers.near_share * limit.depth_m) this.harm.divedClean();
  }

  // After a taxing deep dive the next waits longer.
  taxed(n, dive) {
    const { taxing_effort, taxing_days } = this.sheet.numbers;
    if (dive.effort !== null && dive.effort >= taxing_effort) this.rest.taxed(n, taxing_days);
  }

  // Take over the standing with which the day began, now that its deep dive is made. One that came near its rung ends
  // the time away.
  /** @param {number} n @param {Wanted} wanted @param {number} reached_m */
  begun(n, { name, standing, rung }, reached_m) {
    this.now[name] = standing;
    if (reached_m < this.sheet.numbers.near_share * this.rungM(name, rung)) return;
    this.comfort[name] = nearOn(this.comfort[name], n);
    this.idle = NO_IDLE;
  }

  // Move the ladder by a clean, hard or turned dive on the plan; `harmed` sees to the rest.
  /** @param {Wanted} wanted @param {Deed} deed @param {boolean} assumed */
  climbed({ name, rung, is_asked }, deed, assumed) {
    if (this.sheet.verdicts[deed.verdict].over !== null) return;
    this.now[name] = moved(this.sheet, this.ladders[name], this.now[name], deed, assumed);
    const leastM = this.rungM(name, rung) - this.sheet.numbers.tolerance_m;
    if (deed.verdict === "clean" && deed.reached_m >= leastM) this.harm.divedClean();
    if (is_asked) this.now[name] = { ...this.now[name], dived: rung };
  }

  // Take in what the diver said of the day for the days after it.
  /** @param {number} n @param {Said} said */
  rested(n, said) {
    if (said.taxing) this.rest.taxed(n, this.sheet.numbers.taxing_days);
    if (!said.no_diving) return;
    const { rungs, says } = this.sheet.no_diving[said.no_diving];
    if (rungs < Math.max(1, this.idle.rungs)) return;
    this.idle = { days: 0, rungs, why: `after_${said.no_diving}`, said: says.toLowerCase() };
  }

  /**
   * Whether a dive counts for the spacing: a deep dive, or any other that came near the rung; a deep dive that was
   * turned far above its target was none.
   * @param {Dive} dive @param {Wanted} wanted
   */
  isDeep(dive, wanted) {
    const { numbers } = this.sheet;
    const name = dive.discipline in this.now ? dive.discipline : this.lead;
    const rung = wanted?.name === name ? wanted.rung : this.now[name].rung;
    if (dive.reached_m >= numbers.second_dive_share * this.rungM(name, rung)) return true;
    return dive.role === "deep" && dive.reached_m >= numbers.counts_share * (dive.target_m ?? 0);
  }

  // Where a ladder stands, for the plan.
  stands(name) {
    const now = this.now[name];
    return { rung_m: this.rungM(name, now.rung), clean_on_rung: now.clean,
      comfortable_m: comfortableM(this.comfort[name]), best_m: this.best[name] };
  }

  // The rung of the comfortable depth of a discipline.
  comfortable(name) {
    return rungAt(this.ladders[name], comfortableM(this.comfort[name]));
  }

  rungM(name, rung) {
    return this.ladders[name].rungs[rung].depth_m;
  }

  say(key, values) {
    return fill(this.words[key], values);
  }

  // Why no dive is allowed on day `n`, and why no deep dive is; null for each that is.
  /** @param {number} n @param {Said} said */
  forbids(n, { not_ready }) {
    const noDeep = not_ready.length > 0 ? this.notReadySays(not_ready) : this.harm.noDeepSays(this.words, n);
    return [this.harm.stopSays(this.words, n), noDeep];
  }

  // Why there is no deep dive today, in the order of the sheet.
  notReadySays(codes) {
    const known = Object.entries(this.sheet.not_ready).filter(([code]) => codes.includes(code));
    return this.say("not_ready", { why: known.map(([, says]) => says).join(", ") });
  }

  on(n) {
    return dateWords(iso(n), this.words);
  }
}

/** The depth that a clean dive counts for: the deeper of its target and the depth reached. @param {Dive} dive */
export function depthM({ reached_m, target_m }) {
  return Math.max(reached_m, target_m ?? 0);
}
