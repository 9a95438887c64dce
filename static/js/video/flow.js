// Where a point went from one frame to the next: pyramidal Lucas-Kanade, after Bouguet's description. It finds small
// and large ways, but drifts from frame to frame: template.js corrects it.
import { readSquare, toLevel } from "./pyramid.js";

const RADIUS = 8; // pixels: the square that is compared is 17 wide at each level
const SIDE = 2 * RADIUS + 1;
const WIDER = SIDE + 2; // with a border for the slopes
const MOST_STEPS = 8; // at each level
const NEAR_PX = 0.05; // a step shorter than this is the last
const MOST_STEP_PX = 10; // of one step: more is not a small way, but a wrong one
const FLAT = 1e-3; // a square without slopes: it leads nowhere

const around = new Float32Array(WIDER * WIDER);
const before = new Float32Array(SIDE * SIDE);
const slopeX = new Float32Array(SIDE * SIDE);
const slopeY = new Float32Array(SIDE * SIDE);
const now = new Float32Array(SIDE * SIDE);

/**
 * The place of a point of the frame `from` in the frame `to`.
 * @param {Grey[]} from pyramid @param {Grey[]} to pyramid @param {Point} point @returns {Point}
 */
export function flow(from, to, { x, y }) {
  let [dx, dy] = [0, 0];
  for (let level = from.length - 1; level >= 0; level -= 1) {
    [dx, dy] = atLevel(from[level], to[level], toLevel(x, level), toLevel(y, level), dx * 2, dy * 2);
  }
  return { x: x + dx, y: y + dy };
}

/** The way at one level, which starts from what the smaller level found. */
function atLevel(from, to, x, y, dx, dy) {
  const [xx, xy, yy] = slopes(from, x, y);
  const det = xx * yy - xy * xy;
  if (det < FLAT * (xx + yy) ** 2) return [dx, dy];
  for (let step = 0; step < MOST_STEPS; step += 1) {
    readSquare(to, x + dx, y + dy, RADIUS, now);
    const [bx, by] = mismatch();
    const [sx, sy] = [(yy * bx - xy * by) / det, (xx * by - xy * bx) / det];
    const length = Math.hypot(sx, sy);
    if (!(length < MOST_STEP_PX)) break;
    dx += sx;
    dy += sy;
    if (length < NEAR_PX) break;
  }
  return [dx, dy];
}

/** Reads the square and its slopes, and returns the sums of their products. */
function slopes(frame, x, y) {
  readSquare(frame, x, y, RADIUS + 1, around);
  let [xx, xy, yy] = [0, 0, 0];
  for (let row = 0, at = 0; row < SIDE; row += 1) {
    for (let i = (row + 1) * WIDER + 1, end = i + SIDE; i < end; i += 1, at += 1) {
      const gx = (around[i + 1] - around[i - 1]) / 2;
      const gy = (around[i + WIDER] - around[i - WIDER]) / 2;
      before[at] = around[i]; slopeX[at] = gx; slopeY[at] = gy;
      xx += gx * gx; xy += gx * gy; yy += gy * gy;
    }
  }
  return [xx, xy, yy];
}

function mismatch() {
  let [bx, by] = [0, 0];
  for (let i = 0; i < now.length; i += 1) {
    const less = before[i] - now[i];
    bx += less * slopeX[i];
    by += less * slopeY[i];
  }
  return [bx, by];
}

/**
 * How well a point can be followed: the smaller eigenvalue of the mean products of slopes, in squared grey levels per
 * pixel. On a smooth suit it is small, and on an edge along the limb as well: there a point could slide.
 * @param {Grey} frame @param {Point} point
 */
export function hold(frame, { x, y }) {
  const [xx, xy, yy] = slopes(frame, x, y).map((sum) => sum / now.length);
  return (xx + yy) / 2 - Math.hypot((xx - yy) / 2, xy);
}
