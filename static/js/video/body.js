// The diver's body in the frames: which way its axis runs, which side is its front, and values frame by frame.
import { along, distance } from "./angles.js";
import { smoothed } from "./smooth.js";

/** The names of a frame's points that must all be there. @param {Track} track @param {string[]} names */
export const has = ({ points }, names) => names.every((name) => points[name]);

/** @param {Point} from @param {Point} to @returns {Point} */
export const way = (from, to) => ({ x: to.x - from.x, y: to.y - from.y });

/**
 * The tracks with each point's way smoothed, piece by piece: a point marked anew begins a new piece.
 * @param {Track[]} tracks @param {number} smoothing_hz @returns {Track[]}
 */
export function smoothTracks(tracks, smoothing_hz) {
  const made = tracks.map((track) => ({ ...track, points: {} }));
  const names = new Set(tracks.flatMap(({ points }) => Object.keys(points)));
  for (const name of names) {
    for (const piece of pieces(tracks, [name])) smoothPiece(tracks, made, name, piece, smoothing_hz);
  }
  return made;
}

function smoothPiece(tracks, made, name, piece, smoothing_hz) {
  const times = piece.map((at) => tracks[at].t_s);
  const [x, y] = ["x", "y"].map((axis) => smoothed(times, piece.map((at) => tracks[at].points[name][axis]),
    smoothing_hz));
  piece.forEach((at, i) => { made[at].points[name] = { x: x[i], y: y[i] }; });
}

/** The places in the list of tracks that have all these points, in pieces between which one of them was marked anew. */
export function pieces(tracks, names) {
  const found = [[]];
  tracks.forEach((track, at) => {
    if (track.marked?.some((name) => names.includes(name)) && found.at(-1).length > 0) found.push([]);
    if (has(track, names)) found.at(-1).push(at);
  });
  return found.filter((piece) => piece.length > 0);
}

/**
 * How the body lies: {axis, side, has_line}. `axis(track)` is the direction from the head to the feet: along the line
 * where one was marked, else that of the whole body; null in a frame that does not tell. `side` is 1 or -1: times a
 * way across the axis it is above 0 to the front, the side to which a knee points; 0 where no knee was marked.
 * @param {Track[]} tracks
 */
export function bodyOf(tracks) {
  const ends = endsOf(tracks);
  const body = ends ? sumOf(tracks, ends, ({ points }) => way(points[ends[0]], points[ends[1]])) : { x: 0, y: 0 };
  const line = sumOf(tracks, ["line_top", "line_low"], ({ points }) => way(points.line_top, points.line_low));
  const has_line = Math.hypot(line.x, line.y) > 0;
  const sign = line.x * body.x + line.y * body.y < 0 ? -1 : 1;
  const axis = (track) => (has_line ? lineOf(track, sign) : body);
  return { axis, side: frontOf(tracks), has_line };
}

const endsOf = (tracks) => [["shoulder", "ankle"], ["shoulder", "hip"], ["hip", "ankle"]]
  .find((names) => tracks.some((track) => has(track, names)));

function lineOf(track, sign) {
  if (!has(track, ["line_top", "line_low"])) return null;
  const { x, y } = way(track.points.line_top, track.points.line_low);
  return { x: sign * x, y: sign * y };
}

function sumOf(tracks, names, of) {
  const all = tracks.filter((track) => has(track, names)).map(of);
  return all.reduce((sum, { x, y }) => ({ x: sum.x + x, y: sum.y + y }), { x: 0, y: 0 });
}

function frontOf(tracks) {
  const legs = tracks.filter((track) => has(track, ["hip", "knee", "ankle"])).map(({ points }) => points);
  return Math.sign(legs.reduce((sum, { hip, knee, ankle }) => sum + along(knee, hip, way(hip, ankle)).across, 0));
}

/**
 * The moments and values of the frames that have these points, and a value.
 * @param {Track[]} tracks @param {string[]} names @param {(track: Track) => number | null} of
 */
export function valuesOf(tracks, names, of) {
  const kept = tracks.filter((track) => has(track, names)).map((track) => [track.t_s, of(track)])
    .filter(([, value]) => value !== null);
  return { times_s: kept.map(([t_s]) => t_s), values: kept.map(([, value]) => value) };
}

/** The mean length of a chain of limbs in pixels, or null where it was not seen. @param {string[]} chain names */
export function chainPx(tracks, chain) {
  const { values } = valuesOf(tracks, chain, ({ points }) => chain.slice(1)
    .reduce((sum, name, i) => sum + distance(points[chain[i]], points[name]), 0));
  return values.length > 0 ? values.reduce((sum, value) => sum + value, 0) / values.length : null;
}
