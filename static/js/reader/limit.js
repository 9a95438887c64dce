// The limit after a loss of motor control or a blackout: for every discipline, until enough clean dives.
// Twin of webapp/planner/reader/limit.py. A limit is {depth_m, n, what, left}.
import { cleanDives, dateWords, fill, steps } from "./sentences.js";
import { iso } from "./standdown.js";
import { rungAt, standingAt } from "./standing.js";

/**
 * The limit after one more event; of two the shallower depth counts.
 * @param {Sheet} sheet
 * @param {Limit} now
 * @param {number} n
 * @param {string} what
 * @param {number} depth_m
 * @returns {Limit}
 */
export function limitAfter(sheet, now, n, what, depth_m) {
  const left = sheet.numbers.limit_dives;
  return now !== null && now.depth_m <= depth_m ? { ...now, left } : { depth_m, n, what, left };
}

/** What is left of the limit after a clean deep dive. @param {Limit} now @returns {Limit} */
export function limitDived(now) {
  return now !== null && now.left > 1 ? { ...now, left: now.left - 1 } : null;
}

/**
 * The standing under the limit.
 * @param {Sheet} sheet
 * @param {Ladder} ladder
 * @param {Limit} limit
 * @param {Standing} now
 * @returns {Standing}
 */
export function limited({ numbers, words }, ladder, limit, now) {
  if (limit === null) return now;
  const down = numbers.limit_rungs;
  const rung = Math.max(0, rungAt(ladder, limit.depth_m) - down);
  if (rung >= now.rung) return now;
  const why = fill(words.limited, { depth: ladder.rungs[rung].depth_m, down: steps(down, words),
    where: limit.depth_m, left: cleanDives(limit.left, words),
    what: words[`what_${limit.what}`], date: dateWords(iso(limit.n), words) });
  return standingAt({ rung, why, sent_down: now.sent_down, dived: now.dived, is_set: true });
}
