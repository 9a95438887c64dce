// How fast the diver goes along the line, and the scale that a known length gives.
import { along, distance } from "./angles.js";
import { chainPx, has, pieces, valuesOf } from "./body.js";
import { independent } from "./sine.js";

// what was measured with a tape: the way between the two marks on the line, hip to ankle, or shoulder to ankle
const CHAINS = { line: ["line_top", "line_low"], leg: ["hip", "knee", "ankle"],
  body: ["shoulder", "hip", "knee", "ankle"] };

/** Pixels of a metre in the plane of what was measured, or null. @param {Track[]} tracks @param {Known} known */
export function scaleOf(tracks, { length_m, length_of = "line" }) {
  const px = length_m > 0 ? chainPx(tracks, CHAINS[length_of]) : null;
  return px ? px / length_m : null;
}

/**
 * The speed along the line in m/s and its standard error, or null: the common slope of all stretches in which neither
 * the mark on the line nor the diver's was set anew. Where the length on the line is known, each frame has its own
 * scale, so a camera that comes nearer changes nothing.
 */
export function speedOf(tracks, body, known) {
  const name = ["hip", "shoulder"].find((one) => tracks.some((track) => has(track, [one])));
  const scale = scaleOf(tracks, known);
  if (!scale || !body.has_line || !name) return null;
  const stretches = pieces(tracks, [name, "line_top", "line_low"]).map((piece) => {
    const part = piece.map((at) => tracks[at]);
    return valuesOf(part, [name], (track) => metresDown(track, name, body, known, scale));
  });
  return commonSlope(stretches.filter(({ values }) => values.length > 2));
}

function metresDown(track, name, body, { length_m, length_of = "line" }, scale) {
  const { line_top, line_low } = track.points;
  const px = length_of === "line" ? distance(line_top, line_low) / length_m : scale;
  return along(track.points[name], line_top, body.axis(track)).along / px;
}

function commonSlope(stretches) {
  let [above, below] = [0, 0];
  const centred = stretches.map(({ times_s, values }) => [centre(times_s), centre(values)]);
  for (const [times, values] of centred) {
    times.forEach((t, i) => { above += t * values[i]; below += t * t; });
  }
  if (!(below > 0)) return null;
  const slope = above / below;
  const left = centred.flatMap(([times, values]) => values.map((value, i) => value - slope * times[i]));
  const square = left.reduce((sum, one) => sum + one * one, 0);
  return { value: Math.abs(slope), error: Math.sqrt(square / independent(left) / below) };
}

function centre(values) {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  return values.map((value) => value - mean);
}
