// What a clip with kicks says: {code: {value, scatter}}; `scatter` is the standard error from cycle to cycle.
import { along, flexion, includedAngle, tilt } from "./angles.js";
import { chainPx, has, valuesOf, way } from "./body.js";
import { amplitude, meanOf, turnsOf } from "./turns.js";
import { scaleOf, speedOf } from "./way.js";

const HANGS_M_S = 0.1; // slower along the line is treading water: a way for each kick says nothing
const LEG = ["hip", "knee", "ankle"];
const JOINTS = {
  knee_flexion: [LEG, ({ hip, knee, ankle }) => flexion(hip, knee, ankle)],
  hip_angle: [["shoulder", "hip", "knee"], ({ shoulder, hip, knee }) => includedAngle(shoulder, hip, knee)],
  fin_bend: [["knee", "ankle", "fin"], ({ knee, ankle, fin }) => flexion(knee, ankle, fin)],
};

/** What moves to the front and back: the fin's tip where it was marked in most frames, else the ankle. */
export function endOf(tracks) {
  const seen = (name) => tracks.filter((track) => has(track, [name])).length;
  return seen("fin") > seen("ankle") / 2 ? "fin" : "ankle";
}

/** How far a point is in front of the hip, in pixels, across the body's axis turned by so many degrees. */
export function inFront(tracks, body, name, degrees = 0) {
  const sign = body.side || 1;
  return valuesOf(tracks, ["hip", name], (track) => {
    const axis = body.axis(track);
    return axis && sign * along(track.points[name], track.points.hip, turnedBy(axis, degrees)).across;
  });
}

function turnedBy({ x, y }, degrees) {
  const [cos, sin] = [Math.cos(degrees * Math.PI / 180), Math.sin(degrees * Math.PI / 180)];
  return { x: cos * x - sin * y, y: sin * x + cos * y };
}

/** @param {Track[]} tracks smoothed @param {Rhythm | null} rhythm @param {Known} known */
export function kickFigures(tracks, body, rhythm, known) {
  const most = { knee_flexion_most: mostOf(tracks, "knee_flexion"), fin_bend_most: mostOf(tracks, "fin_bend") };
  if (!rhythm) return most;
  const cycles = wholeCycles(tracks, body, rhythm);
  return {
    ...most,
    knee_flexion_mean: cycles && meanAngle(cycles, "knee_flexion"),
    hip_angle_mean: cycles && meanAngle(cycles, "hip_angle"),
    hip_offset: hipOffset(tracks, body, rhythm),
    trunk_sway: trunkSway(tracks, body, rhythm),
    kick_hz: { value: rhythm.hz, scatter: rhythm.error_hz },
    ...symmetry(tracks, body, rhythm),
    ...ways(tracks, body, rhythm, known),
  };
}

function mostOf(tracks, joint) {
  const [names, of] = JOINTS[joint];
  const { values } = valuesOf(tracks, names, ({ points }) => of(points));
  return values.length > 0 ? { value: Math.max(...values), scatter: 0 } : null;
}

/** The tracks of the cycles that are wholly in the clip, each from one foremost moment to the next; or null. */
function wholeCycles(tracks, body, { hz }) {
  const { times_s, values } = inFront(tracks, body, endOf(tracks));
  const { tops } = turnsOf(times_s, values, hz);
  const between = (from_s, to_s) => tracks.filter(({ t_s }) => t_s >= from_s && t_s < to_s);
  const cycles = tops.slice(1).map(({ t_s }, i) => between(tops[i].t_s, t_s));
  return cycles.length > 0 ? cycles : null;
}

function meanAngle(cycles, joint) {
  const [names, of] = JOINTS[joint];
  const found = cycles.map((cycle) => valuesOf(cycle, names, ({ points }) => of(points)).values)
    .filter((values) => values.length > 0).map((values) => meanOf(values).mean);
  return mean(found);
}

function mean(found) {
  if (found.length < 2) return null;
  const { mean: value, error: scatter } = meanOf(found);
  return { value, scatter };
}

/** How far the hip is behind the straight line from the shoulder to the ankle when the ankle is foremost. */
function hipOffset(tracks, body, { hz }) {
  const leg = chainPx(tracks, LEG);
  if (!leg || !body.side) return null;
  const whole = tracks.filter((track) => has(track, ["shoulder", ...LEG]) && body.axis(track));
  const { times_s, values } = inFront(whole, body, "ankle");
  return mean(turnsOf(times_s, values, hz).tops.map(({ at }) => {
    const { shoulder, hip, ankle } = whole[at].points;
    return -body.side * along(hip, shoulder, way(shoulder, ankle)).across / leg;
  }));
}

/** The whole swing of the trunk against the line, in degrees. */
function trunkSway(tracks, body, { hz }) {
  if (!body.has_line) return null;
  const { times_s, values } = trunkTilt(tracks, body);
  return swing(times_s, values, hz);
}

function trunkTilt(tracks, body) {
  return valuesOf(tracks, ["shoulder", "hip"], (track) => {
    const axis = body.axis(track);
    return axis && tilt(track.points.shoulder, track.points.hip, { top: { x: 0, y: 0 }, low: axis });
  });
}

function swing(times_s, values, hz) {
  const found = amplitude(times_s, values, hz);
  return found && { value: found.value, scatter: found.error };
}

/** The front's share of the time and of the way, seen from the trunk's mean direction through the hip. */
function symmetry(tracks, body, { hz }) {
  const trunk = trunkTilt(tracks, body).values;
  if (!body.side || trunk.length === 0) return {};
  const { times_s, values } = inFront(tracks, body, endOf(tracks), meanOf(trunk).mean);
  const { tops, bottoms } = turnsOf(times_s, values, hz);
  return { kick_symmetry_time: timeShare(tops, bottoms, hz), kick_symmetry_amplitude: wayShare(tops, bottoms) };
}

function timeShare(tops, bottoms, hz) {
  const forward = spans(bottoms, tops, hz);
  const back = spans(tops, bottoms, hz);
  if (forward.length < 2 || back.length < 2) return null;
  const [one, other] = [meanOf(forward), meanOf(back)];
  const whole = one.mean + other.mean;
  return { value: one.mean / whole,
    scatter: Math.hypot(other.mean * one.error, one.mean * other.error) / whole ** 2 };
}

/** The seconds from each turn of one kind to the next of the other. */
function spans(from, to, hz) {
  return from.map(({ t_s }) => (to.find((other) => other.t_s > t_s)?.t_s ?? Infinity) - t_s)
    .filter((span) => span < 1 / hz);
}

function wayShare(tops, bottoms) {
  if (tops.length < 2 || bottoms.length < 2) return null;
  const [front, back] = [meanOf(tops.map(({ value }) => value)), meanOf(bottoms.map(({ value }) => -value))];
  const whole = front.mean + back.mean;
  if (front.mean < 0 || back.mean < 0) return null; // all of it on one side of the body: no share of a whole
  return { value: front.mean / whole,
    scatter: Math.hypot(back.mean * front.error, front.mean * back.error) / whole ** 2 };
}

/** Across the line: the whole way of the fin's tip. With a known length also metres, speed and Strouhal number. */
function ways(tracks, body, { hz, error_hz }, known) {
  const name = endOf(tracks);
  const [leg, scale, speed] = [chainPx(tracks, LEG), scaleOf(tracks, known), speedOf(tracks, body, known)];
  const across = body.has_line ? valuesOf(tracks, [name, "line_top", "line_low"],
    (track) => along(track.points[name], track.points.line_top, body.axis(track)).across) : null;
  const px = across && swing(across.times_s, across.values, hz);
  const unit = scale ?? leg;
  const kick_amplitude = px && unit ? { value: px.value / unit, scatter: px.scatter / unit } : null;
  if (!speed) return { kick_amplitude };
  const speed_m_s = { value: speed.value, scatter: speed.error };
  if (speed.value < HANGS_M_S) return { kick_amplitude, speed_m_s };
  const rate = { value: hz, scatter: error_hz };
  return { kick_amplitude, speed_m_s, per_kick_m: ratio([speed_m_s], [rate]),
    strouhal: kick_amplitude && ratio([rate, kick_amplitude], [speed_m_s]) };
}

/** A product of measured values divided by others: the relative errors add as squares. */
export function ratio(above, below) {
  const product = (list) => list.reduce((all, { value }) => all * value, 1);
  const value = product(above) / product(below);
  return { value, scatter: value * Math.hypot(...[...above, ...below].map((one) => one.scatter / one.value)) };
}

/** The front's turns of a kick, for its phases. */
export function foremost(tracks, body, hz) {
  const { times_s, values } = inFront(tracks, body, endOf(tracks));
  return turnsOf(times_s, values, hz).tops;
}
