// Smoothing of a track: round each moment a parabola is fitted to the neighbours, weighted by a bell curve (local
// quadratic regression with Gaussian weights). It shifts nothing in time, needs no even spacing, and makes no value
// where there was none. Its one setting is the frequency of which half of the power passes.

// The parabola's fit passes (1 + q) exp(-q) of a sine, with q = (2 pi f width)^2 / 2; half of the power at q = 1.0784.
const HALF_POWER = Math.sqrt(2 * 1.0784) / (2 * Math.PI);
const REACH = 4.5; // widths of the bell beyond which a neighbour counts for nothing
const LEAST = 4; // values from which a parabola is fitted; fewer are left as they are

/** The share of a sine's amplitude that passes. @param {number} hz @param {number} smoothing_hz */
export function passes(hz, smoothing_hz) {
  const q = 1.0784 * (hz / smoothing_hz) ** 2;
  return (1 + q) * Math.exp(-q);
}

/** The width of the bell curve in seconds. @param {number} smoothing_hz */
export const widthOf = (smoothing_hz) => HALF_POWER / smoothing_hz;

/**
 * The values, smoothed; times in order, in seconds.
 * @param {number[]} times_s @param {number[]} values @param {number} smoothing_hz half of the power passes at this
 * @returns {number[]}
 */
export function smoothed(times_s, values, smoothing_hz) {
  const width = widthOf(smoothing_hz);
  let from = 0;
  let to = 0;
  return values.map((value, at) => {
    while (times_s[from] < times_s[at] - REACH * width) from += 1;
    while (to < values.length && times_s[to] <= times_s[at] + REACH * width) to += 1;
    return to - from < LEAST ? value : fitted(times_s, values, from, to, times_s[at], width);
  });
}

/** The height at the moment `t` of the parabola through the neighbours. */
function fitted(times_s, values, from, to, t, width) {
  let [s0, s1, s2, s3, s4, y0, y1, y2] = [0, 0, 0, 0, 0, 0, 0, 0];
  for (let i = from; i < to; i += 1) {
    const u = (times_s[i] - t) / width;
    const w = Math.exp(-u * u / 2);
    const [wu, wu2] = [w * u, w * u * u];
    s0 += w; s1 += wu; s2 += wu2; s3 += wu2 * u; s4 += wu2 * u * u;
    y0 += w * values[i]; y1 += wu * values[i]; y2 += wu2 * values[i];
  }
  const det = s0 * (s2 * s4 - s3 * s3) - s1 * (s1 * s4 - s3 * s2) + s2 * (s1 * s3 - s2 * s2);
  const top = y0 * (s2 * s4 - s3 * s3) - s1 * (y1 * s4 - s3 * y2) + s2 * (y1 * s3 - s2 * y2);
  return det > 1e-9 * s0 ** 3 ? top / det : y0 / s0;
}
