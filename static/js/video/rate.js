// The rate of a movement that repeats, from values at any moments (frames may be missing): the highest peak of the
// Lomb-Scargle periodogram. Times are seconds.
import { fittedSine, independent, withoutTrend } from "./sine.js";

const LEAST_HZ = 0.2; // slower than any kick or pull: what is below is drift of the camera
const MOST_HZ = 3; // faster than any kick with fins or without
const FINER = 10; // steps of the frequency within 1 / length of the clip, so that no peak falls between two
const LEAST_CYCLES = 3; // with fewer the peak is as broad as the rate itself
const LEAST_SHARE = 0.3; // of the variance that the best sine explains: below it nothing repeats
const LEAST_VALUES = 12;

/**
 * The power at each frequency, as share of the variance: 1 for a pure sine. Same as scipy.signal.lombscargle with
 * normalize=True on values without their mean.
 * @param {number[]} times_s @param {number[]} values @param {number[]} hz
 */
export function power(times_s, values, hz) {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  const around = values.map((value) => value - mean);
  const all = around.reduce((sum, value) => sum + value * value, 0);
  return hz.map((one) => powerAt(times_s, around, 2 * Math.PI * one) / all);
}

function powerAt(times_s, values, omega) {
  let [c, s, cc, cs] = [0, 0, 0, 0];
  for (let i = 0; i < values.length; i += 1) {
    const [cos, sin] = [Math.cos(omega * times_s[i]), Math.sin(omega * times_s[i])];
    c += values[i] * cos; s += values[i] * sin; cc += cos * cos; cs += cos * sin;
  }
  const ss = values.length - cc;
  const angle = Math.atan2(2 * cs, cc - ss) / 2; // turns the axes so that sine and cosine are independent
  const [cosA, sinA] = [Math.cos(angle), Math.sin(angle)];
  const onCos = (cosA * c + sinA * s) ** 2 / (cosA * cosA * cc + 2 * cosA * sinA * cs + sinA * sinA * ss);
  const onSin = (cosA * s - sinA * c) ** 2 / (cosA * cosA * ss - 2 * cosA * sinA * cs + sinA * sinA * cc);
  return onCos + (Number.isFinite(onSin) ? onSin : 0);
}

/**
 * How often it repeats, or null where nothing repeats or fewer than three cycles were seen.
 * @param {number[]} times_s @param {number[]} values
 * @returns {Rhythm | null}
 */
export function rhythm(times_s, values) {
  const long_s = times_s.at(-1) - times_s[0];
  if (values.length < LEAST_VALUES || !(long_s > LEAST_CYCLES / MOST_HZ)) return null;
  const level = withoutTrend(times_s, values);
  const hz = peakOf(times_s, level, long_s);
  if (hz === null || hz * long_s < LEAST_CYCLES) return null;
  return { hz, error_hz: errorOf(times_s, level, hz, long_s), cycles: hz * long_s };
}

function peakOf(times_s, values, long_s) {
  const step = 1 / (FINER * long_s);
  const all = Array.from({ length: Math.floor((MOST_HZ - LEAST_HZ) / step) + 1 }, (_, i) => LEAST_HZ + i * step);
  const found = power(times_s, values, all);
  const at = found.reduce((best, value, i) => (value > found[best] ? i : best), 0);
  if (at === 0 || at === found.length - 1 || !(found[at] >= LEAST_SHARE)) return null;
  return all[at] + step * summit(found[at - 1], found[at], found[at + 1]);
}

/** Where the parabola through three neighbours is highest, in steps from the middle one. */
export function summit(before, at, after) {
  const bend = before - 2 * at + after;
  return bend < 0 ? (before - after) / (2 * bend) : 0;
}

/**
 * The standard error of a sine's frequency in noise: sqrt(6 / n) * noise / (pi * length * half amplitude), with only as
 * many independent values n as the likeness of neighbours in what the sine leaves over allows.
 */
function errorOf(times_s, values, hz, long_s) {
  const { half, left } = fittedSine(times_s, values, hz);
  const square = left.reduce((sum, value) => sum + value * value, 0);
  return Math.sqrt(6 / independent(left)) * Math.sqrt(square / values.length) / (Math.PI * long_s * half);
}
