// The turning points of a movement of known rate: in each cycle the highest and the lowest value, and when.
import { fittedSine, withoutTrend } from "./sine.js";

/**
 * One top and one bottom for each cycle that is wholly in the clip, in order of time.
 * @param {number[]} times_s @param {number[]} values smoothed @param {number} hz
 * @returns {{ tops: Turn[], bottoms: Turn[] }}
 */
export function turnsOf(times_s, values, hz) {
  const { top_s } = fittedSine(times_s, withoutTrend(times_s, values), hz);
  return {
    tops: extremes(times_s, values, hz, top_s, 1),
    bottoms: extremes(times_s, values, hz, top_s + 0.5 / hz, -1),
  };
}

/** The most extreme value within half a cycle round each moment at which the sine has its own. */
function extremes(times_s, values, hz, at_s, sign) {
  const half = 0.5 / hz;
  const first = at_s + Math.ceil((times_s[0] - at_s) * hz) / hz;
  const found = [];
  for (let middle = first; middle <= times_s.at(-1); middle += 1 / hz) {
    let best = -1;
    times_s.forEach((t, i) => {
      if (Math.abs(t - middle) <= half && (best < 0 || sign * values[i] > sign * values[best])) best = i;
    });
    if (isTurn(values, best, sign)) found.push(exactly(times_s, values, best));
  }
  return found;
}

/** Whether both neighbours are there and lie on the same side: else the clip or the cycle only ends here. */
function isTurn(values, at, sign) {
  const beyond = (other) => sign * (values[at] - values[other]) >= 0;
  return at > 0 && at < values.length - 1 && beyond(at - 1) && beyond(at + 1);
}

/** The summit of the parabola through three neighbours, which lies between frames. */
function exactly(times_s, values, at) {
  const [a, b] = [times_s[at - 1] - times_s[at], times_s[at + 1] - times_s[at]];
  const [p, q] = [values[at - 1] - values[at], values[at + 1] - values[at]];
  const bend = (p / a - q / b) / (a - b);
  const slope = p / a - bend * a;
  const shift = bend === 0 ? 0 : Math.max(a, Math.min(b, -slope / (2 * bend)));
  return { at, t_s: times_s[at] + shift, value: values[at] + shift * (slope + bend * shift) };
}

/**
 * The whole swing of a movement, from one end to the other: the mean of its tops less the mean of its bottoms, and the
 * standard error from what differs from cycle to cycle; null without two of each.
 * @param {number[]} times_s @param {number[]} values smoothed @param {number} hz
 */
export function amplitude(times_s, values, hz) {
  const { tops, bottoms } = turnsOf(times_s, withoutTrend(times_s, values), hz);
  if (tops.length < 2 || bottoms.length < 2) return null;
  const [high, low] = [meanOf(tops.map(({ value }) => value)), meanOf(bottoms.map(({ value }) => value))];
  return { value: high.mean - low.mean, error: Math.hypot(high.error, low.error) };
}

/** The mean of values and its standard error. @param {number[]} values */
export function meanOf(values) {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  const spread = values.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  return { mean, error: values.length > 1 ? Math.sqrt(spread / (values.length - 1) / values.length) : Infinity };
}
