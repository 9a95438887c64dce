// What the heavier verdicts do, whatever the dive was for: days without deep dives, lower ladders, a stand-down.
// Twin of webapp/planner/reader/harm.py.
import { limitAfter, limitDived } from "./limit.js";
import { NEVER } from "./rest.js";
import { dateWords, fill } from "./sentences.js";
import { holds, isCleared, iso, stopSays, stopValues, widened } from "./standdown.js";
import { lowered, resumed, sentDown } from "./standing.js";

/** What the events so far still do. Days are day numbers. */
export class Harm {
  /** @param {number[]} cleared @param {number} first the first day of the season */
  constructor(cleared, first) {
    this.cleared = cleared;
    this.first = first;
    this.stop = /** @type {Stop} */ (null);
    this.limit = /** @type {Limit} */ (null);
    this.lmcN = NEVER;
    this.noDeepN = NEVER;
    this.noDeepBefore = NEVER;
    this.noDeepWhy = "easy_lmc";
    this.applied = new Set();
    this.falls = /** @type {Fall[]} */ ([]);
  }

  /**
   * Take in one verdict of a dive with its days, once; returns the standings after it. What happened before the season
   * lowers its ladders too, as long as it still holds on the first day.
   * @param {Sheet} sheet
   * @param {Standings} now
   * @param {number} n
   * @param {Dive} dive
   * @param {[string, number]} event
   * @param {string[]} care
   * @returns {Standings}
   */
  happened(sheet, now, n, dive, [name, days], care) {
    const table = sheet.verdicts[name];
    const key = `${name} ${dive.id}`;
    if (this.applied.has(key) || table.over === null) return now;
    this.applied.add(key);
    this.noDeep(table, n, days);
    const lower = this.lowered(sheet, now, n, dive, name);
    if (table.limits && n >= this.first - sheet.numbers.limit_days) {
      this.limit = limitAfter(sheet, this.limit, n, name, dive.reached_m);
    }
    const isAgain = table.again_days > 0 && n - this.lmcN <= table.again_days;
    if (table.again_days > 0) this.lmcN = n;
    if (!table.stands_down && !isAgain) return lower;
    const [off, what] = isAgain ? [table.again_days_off, `${name}_again`] : [days, name];
    const stop = { since: n, until: n + off, what, care };
    return this.stood(sheet, lower, stop);
  }

  /**
   * The standing of a ladder that is new in the season, lowered by what happened since `nearN`.
   * @param {string} name @param {Ladder} ladder @param {Standing} now @param {number} nearN
   */
  entered(name, ladder, now, nearN) {
    const since = this.falls.filter(({ n, discipline }) => n >= nearN && [null, name].includes(discipline));
    return since.reduce((one, fall) => fall.change(ladder, one), now);
  }

  /** Take in a clean deep dive: the limit needs some of them. */
  divedClean() {
    this.limit = limitDived(this.limit);
  }

  /** The sentence of the stand-down as it holds on day `n`, null when it does not. @param {Words} words */
  stopSays(words, n) {
    return this.holds(this.stop, n) ? stopSays(words, this.stop, this.cleared, n) : null;
  }

  /** What a deep dive on day `n` is told, null when one was allowed. @param {Words} words @param {number} n */
  noDeepSays(words, n) {
    if (n >= this.noDeepBefore) return null;
    const what = words[this.noDeepWhy === "easy_sore" ? "what_sore" : "what_lmc"];
    const [until, date] = [this.noDeepBefore, this.noDeepN].map((day) => dateWords(iso(day), words));
    return fill(words.deep_too_early, { until, what, date });
  }

  holds(stop, n) {
    return holds(stop, this.cleared, n);
  }

  /** The stand-down as it stands on day `n`. @param {Words} words @param {number} n @returns {StandDown} */
  standDown(words, n) {
    const { stop, cleared } = this;
    if (!this.holds(stop, n)) return null;
    return { since: iso(stop.since), until: iso(stop.until), needs_clearance: !isCleared(stop, cleared, n),
      why: stopSays(words, stop, cleared, n), care: stop.care };
  }

  // Days without a deep dive: the verdict's own, or those of a mild injury.
  noDeep(table, n, days) {
    const least = table.no_deep_days || (table.stands_down ? 0 : days);
    if (!least || n + least + 1 <= this.noDeepBefore) return;
    const why = table.no_deep_days ? "easy_lmc" : "easy_sore";
    [this.noDeepN, this.noDeepBefore, this.noDeepWhy] = [n, n + least + 1, why];
  }

  /** @param {Sheet} sheet @param {Standings} now @param {number} n @param {Dive} dive @param {string} name */
  lowered(sheet, now, n, { discipline }, name) {
    const { down } = sheet.verdicts[name];
    if (!down || this.noDeepBefore <= this.first) return now;
    const why = fill(sheet.words.lmc, { date: dateWords(iso(n), sheet.words), down });
    return this.fell(sheet, now, { n, discipline, change: (_, one) => lowered(sentDown(one), down, why) });
  }

  // A new stand-down, or another event during one, which lowers the ladders once more.
  /** @param {Sheet} sheet @param {Standings} now @param {Stop} stop @returns {Standings} */
  stood(sheet, now, stop) {
    const day = Math.max(stop.since, this.first);
    const before = this.stop;
    this.stop = widened(before, this.cleared, stop);
    if (!this.holds(stop, day)) return now;
    const said = stopValues(sheet.words, stop);
    const down = sheet.numbers.limit_rungs;
    const [n, discipline] = [stop.since, null];
    if (!this.holds(before, day)) {
      const change = (ladder, one) => resumed(sheet, ladder, sentDown(one), said);
      return this.fell(sheet, now, { n, discipline, change });
    }
    const why = fill(sheet.words.lower_still, { ...said, down });
    return this.fell(sheet, now, { n, discipline, change: (_, one) => lowered(one, down, why) });
  }

  // The standings after a fall, which is kept for ladders that the season gets later.
  /** @param {Sheet} sheet @param {Standings} now @param {Fall} fall @returns {Standings} */
  fell(sheet, now, fall) {
    this.falls.push(fall);
    const whose = Object.keys(now).filter((name) => [null, name].includes(fall.discipline));
    const fallen = whose.map((name) => [name, fall.change(sheet.disciplines[name], now[name])]);
    return { ...now, ...Object.fromEntries(fallen) };
  }
}
