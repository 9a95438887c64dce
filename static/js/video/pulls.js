// What a clip of pulls along the line says. A hand that holds the line stands still on it, and the body goes past it.
import { along } from "./angles.js";
import { has, valuesOf } from "./body.js";
import { amplitude, turnsOf } from "./turns.js";
import { scaleOf, speedOf } from "./way.js";

const count = (tracks, name) => tracks.filter((track) => has(track, [name])).length;
const oftener = (tracks, names) => names.reduce((a, b) => (count(tracks, b) > count(tracks, a) ? b : a));

/** How far the hand reaches beyond the body along its axis, in pixels: the hand and the joint seen oftener. */
export function reach(tracks, body) {
  const hand = oftener(tracks, ["hand_top", "hand_low"]);
  const from = oftener(tracks, ["shoulder", "hip"]);
  return valuesOf(tracks, [hand, from], (track) => {
    const axis = body.axis(track);
    return axis && along(track.points[hand], track.points[from], axis).along;
  });
}

/** @param {Track[]} tracks smoothed @param {Rhythm | null} rhythm of one hand @param {Known} known */
export function pullFigures(tracks, body, rhythm, known) {
  if (!rhythm) return {};
  const [scale, speed] = [scaleOf(tracks, known), speedOf(tracks, body, known)];
  const { times_s, values } = reach(tracks, body);
  const swing = scale ? amplitude(times_s, values, rhythm.hz) : null;
  return {
    pull_hz: { value: rhythm.hz, scatter: rhythm.error_hz },
    pull_m: swing && { value: swing.value / scale, scatter: swing.error / scale },
    speed_m_s: speed && { value: speed.value, scatter: speed.error },
  };
}

/** The moments at which the hand reaches furthest beyond the head (the axis runs to the feet): phases of a pull. */
export function furthest(tracks, body, hz) {
  const { times_s, values } = reach(tracks, body);
  return turnsOf(times_s, values, hz).bottoms;
}
