// Rest between deep dives: the spacing of every deep dive so far, of any discipline, and taxing ones.
// Twin of webapp/planner/reader/rest.py.

export const NEVER = -1000000;

/** What the deep dives so far ask for. Days are day numbers. */
export class Rest {
  constructor() {
    this.n = NEVER; // the last deep day
    this.streak = 0; // the days in a row up to it, and the deepest of their dives
    this.streakM = 0;
    this.until = NEVER; // the rest that runs longest, and whose it is
    this.untilM = 0;
    this.untilOf = NEVER;
    this.taxingUntil = NEVER;
    this.taxingN = NEVER;
  }

  /** Take in a deep dive of day `n`. @param {Sheet["spacing"]} spacing @param {number} n @param {number} depth_m */
  add(spacing, n, depth_m) {
    if (n !== this.n) {
      const goesOn = n === this.n + 1;
      this.streak = goesOn ? this.streak + 1 : 1;
      this.streakM = goesOn ? this.streakM : 0;
    }
    [this.n, this.streakM] = [n, Math.max(this.streakM, depth_m)];
    const until = n + rowOf(spacing, depth_m).min_days;
    if (until > this.until) [this.until, this.untilM, this.untilOf] = [until, depth_m, n];
  }

  /** Take in that day `n` was taxing: the next deep dive comes these days later at the earliest. */
  taxed(n, days) {
    if (n + days > this.taxingUntil) [this.taxingUntil, this.taxingN] = [n + days, n];
  }

  /**
   * Why day `n` is too early for a deep dive to this target, as [sentence, its values, of which day], or null.
   * @param {Sheet["spacing"]} spacing
   * @param {number} n
   * @param {number} target_m
   * @returns {[string, any, number]}
   */
  easy(spacing, n, target_m) {
    const days = rowOf(spacing, target_m).min_days;
    if (n < this.until) return ["easy_gap", { depth: this.untilM, days: this.until - this.untilOf }, this.untilOf];
    if (n - this.n < days) return ["easy_gap", { depth: target_m, days }, this.n];
    const most = rowOf(spacing, Math.max(target_m, this.streakM)).max_in_a_row;
    if (n - this.n === 1 && this.streak >= most) return ["easy_row", { count: this.streak }, this.n];
    if (n < this.taxingUntil) return ["easy_taxing", { days: this.taxingUntil - this.taxingN }, this.taxingN];
    return null;
  }
}

/** The row of the spacing table for this depth. @param {Sheet["spacing"]} spacing @param {number} depth_m */
export function rowOf(spacing, depth_m) {
  return spacing.find((row) => row.to_m === null || depth_m <= row.to_m);
}
