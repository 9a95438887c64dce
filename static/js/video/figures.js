// The figures of a clip, each with its uncertainty: a standard error from what differs from cycle to cycle, from how
// exactly the points were marked, from the frame rate, and from what the smoothing takes away.
// Not in it: a wrong length, a camera that does not look square at the diver (see camera.js), and refraction.
import { bodyOf, smoothTracks } from "./body.js";
import { endOf, foremost, inFront, kickFigures } from "./kicks.js";
import { furthest, pullFigures, reach } from "./pulls.js";
import { rhythm } from "./rate.js";
import { passes } from "./smooth.js";

export { cameraWarning } from "./camera.js";

const SMOOTHING_HZ = 6; // half of the power passes: five times the rate of a quick kick, below the trembling of marks
const MARK_ERROR_PX = 2; // of a point marked once, where it was not marked repeatedly

const UNITS = {
  knee_flexion_most: "deg", knee_flexion_mean: "deg", hip_angle_mean: "deg", hip_offset: "share", trunk_sway: "deg",
  fin_bend_most: "deg", kick_hz: "Hz", kick_amplitude: "share", kick_symmetry_time: "share",
  kick_symmetry_amplitude: "share", speed_m_s: "m/s", per_kick_m: "m", strouhal: "", pull_hz: "Hz", pull_m: "m",
};
const SWINGS = ["knee_flexion_most", "fin_bend_most", "trunk_sway", "kick_amplitude", "strouhal", "pull_m"];

/**
 * Only the figures that the tracks allow, in the order of UNITS. `length_of` says what `length_m` is the length of:
 * "line" (from line_top to line_low), "leg" (hip, knee, ankle) or "body" (shoulder, hip, knee, ankle).
 * @param {Track[]} tracks @param {FigureOptions} options @returns {Figure[]}
 */
export function figuresOf(tracks, options) {
  const { style = "kick", smoothing_hz = SMOOTHING_HZ, mark_error_px = MARK_ERROR_PX } = options;
  const smooth = smoothTracks(tracks, smoothing_hz);
  const beat = beatOf(smooth, style);
  const measure = (moved) => (style === "pull" ? pullFigures : kickFigures)(moved, bodyOf(moved), beat, options);
  const found = measure(smooth);
  const marking = markingErrors(smooth, found, measure, mark_error_px);
  return Object.keys(UNITS).filter((code) => Number.isFinite(found[code]?.value)).map((code) => {
    const { value, scatter } = found[code];
    const error = Math.hypot(scatter, marking[code], blurOf(code, value, beat, smoothing_hz, tracks));
    return { code, value, error, unit: unitOf(code, options) };
  });
}

/** @param {string} code @param {FigureOptions} options */
const unitOf = (code, { length_m }) => (code === "kick_amplitude" && length_m > 0 ? "m" : UNITS[code]);

/** @returns {Rhythm | null} */
function beatOf(tracks, style) {
  const body = bodyOf(tracks);
  const { times_s, values } = style === "pull" ? reach(tracks, body) : inFront(tracks, body, endOf(tracks));
  return rhythm(times_s, values);
}

/** What changes when each mark in turn was set this far beside its place, to the right and below: added as squares. */
function markingErrors(tracks, found, measure, px) {
  const names = [...new Set(tracks.flatMap(({ points }) => Object.keys(points)))];
  const ways = [{ x: px, y: 0 }, { x: 0, y: px }];
  const moved = names.flatMap((name) => ways.map((by) => measure(shifted(tracks, name, by))));
  const change = (code, other) => (other[code]?.value ?? found[code].value) - found[code].value;
  const error = (code) => Math.hypot(...moved.map((other) => change(code, other)));
  return Object.fromEntries(Object.keys(found).filter((code) => found[code]).map((code) => [code, error(code)]));
}

function shifted(tracks, name, by) {
  return tracks.map((track) => {
    const point = track.points[name];
    return point ? { ...track, points: { ...track.points, [name]: { x: point.x + by.x, y: point.y + by.y } } } : track;
  });
}

/** What lies between two frames, and what the smoothing takes from a swing; of a share of time half a frame. */
function blurOf(code, value, beat, smoothing_hz, tracks) {
  if (!beat || tracks.length < 2) return 0;
  const frame_s = (tracks.at(-1).t_s - tracks[0].t_s) / (tracks.at(-1).index - tracks[0].index);
  if (code === "kick_symmetry_time") return frame_s * beat.hz / Math.sqrt(12 * beat.cycles);
  if (!SWINGS.includes(code)) return 0;
  return value * Math.hypot(1 - Math.cos(Math.PI * beat.hz * frame_s), 1 - passes(beat.hz, smoothing_hz));
}

/**
 * Where in its kick each frame is: 0 at the foremost moment of the fin, up to 1 at the next; of a pull 0 where the hand
 * reaches furthest. Only frames between two such moments are named.
 * @param {Track[]} tracks @param {string} [style] @returns {{ t_s: number, phase: number }[]}
 */
export function phases(tracks, style = "kick") {
  const smooth = smoothTracks(tracks, SMOOTHING_HZ);
  const beat = beatOf(smooth, style);
  if (!beat) return [];
  const tops = (style === "pull" ? furthest : foremost)(smooth, bodyOf(smooth), beat.hz);
  return tracks.flatMap(({ t_s }) => {
    const at = tops.findLastIndex((top) => top.t_s <= t_s);
    const next = tops[at + 1];
    if (at < 0 || !next || next.t_s - tops[at].t_s > 1.5 / beat.hz) return [];
    return [{ t_s, phase: (t_s - tops[at].t_s) / (next.t_s - tops[at].t_s) }];
  });
}

/**
 * How exactly a point was marked: the standard deviation, in pixels of one axis, of the same marks set repeatedly.
 * @param {Point[][]} repeats one list for each point, at least two marks each
 */
export function markError(repeats) {
  let [square, free] = [0, 0];
  for (const marks of repeats.filter((one) => one.length > 1)) {
    for (const axis of ["x", "y"]) {
      const middle = marks.reduce((sum, mark) => sum + mark[axis], 0) / marks.length;
      square += marks.reduce((sum, mark) => sum + (mark[axis] - middle) ** 2, 0);
      free += marks.length - 1;
    }
  }
  return free > 0 ? Math.sqrt(square / free) : MARK_ERROR_PX;
}
