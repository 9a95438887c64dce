// What the diver marked: a round piece of that frame. It is found again in later frames by its likeness (normalised
// cross-correlation), turned as the limb turns. It is never renewed from later frames: that is how trackers drift.
import { readSquare } from "./pyramid.js";
import { summit } from "./rate.js";

const RADIUS = 10; // pixels of the round piece: strap edge or tape with its surroundings in a film of 720 lines
const KEPT = 12; // pixels kept round the mark, so that the turned piece is full
const SIDE = 2 * KEPT + 1;
const NEAR = 2; // pixels round the expected place that are tried first
const FAR = 16; // pixels that are tried when it is not found there
const TURN = 6; // degrees from one tried turn to the next
const MOST_TURNS = 4; // steps of a turn from frame to frame

const OFFSETS = [...offsets()];
function* offsets() {
  for (let y = -RADIUS; y <= RADIUS; y += 1) {
    for (let x = -RADIUS; x <= RADIUS; x += 1) if (x * x + y * y <= (RADIUS + 0.5) ** 2) yield { x, y };
  }
}

/** The piece round a mark. @param {Grey} frame @param {Point} point @returns {MarkedPiece} */
export function markOf(frame, { x, y }) {
  return { piece: readSquare(frame, x, y, KEPT, new Float32Array(SIDE * SIDE)), turned: new Map() };
}

/** The piece turned by so many steps, with mean 0 and length 1. */
function turnedBy(mark, steps) {
  const known = mark.turned.get(steps);
  if (known) return known;
  const angle = steps * TURN * Math.PI / 180;
  const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
  const values = OFFSETS.map(({ x, y }) => between(mark.piece, KEPT + cos * x + sin * y, KEPT - sin * x + cos * y));
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  const length = Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0)) || 1;
  const made = Float32Array.from(values, (value) => (value - mean) / length);
  mark.turned.set(steps, made);
  return made;
}

function between(piece, x, y) {
  const [left, top] = [Math.floor(x), Math.floor(y)];
  const [fx, fy] = [x - left, y - top];
  const at = top * SIDE + left;
  const upper = piece[at] * (1 - fx) + piece[at + 1] * fx;
  return upper * (1 - fy) + (piece[at + SIDE] * (1 - fx) + piece[at + SIDE + 1] * fx) * fy;
}

/**
 * The place most like the mark: {x, y, score, steps}; the score is 1 for the same picture, and 0 off the frame.
 * @param {MarkedPiece} mark @param {Grey} frame @param {Point} expected @param {number} steps of the turn found last
 * @param {number} least score below which it looks further away
 */
export function findMark(mark, frame, expected, steps, least) {
  const seek = seeker(frame);
  const start = { x: Math.round(expected.x), y: Math.round(expected.y), steps, score: -1 };
  let best = turnedBest(seek, mark, climb(seek, mark, start, NEAR, 1));
  if (best.score < least) {
    const far = climb(seek, mark, climb(seek, mark, start, FAR, 2), NEAR, 1);
    if (far.score > best.score) best = turnedBest(seek, mark, far);
  }
  return exactly(seek, mark, best);
}

/** What scores a place: offsets of this frame's width are worked out once for each width. */
function seeker({ width, height, data }) {
  const steps = stepsOf(width);
  const inside = (x, y) => x >= RADIUS && y >= RADIUS && x < width - RADIUS && y < height - RADIUS;
  return (piece, x, y) => {
    if (!inside(x, y)) return 0;
    const at = y * width + x;
    let [sum, square, product] = [0, 0, 0];
    for (let i = 0; i < piece.length; i += 1) {
      const value = data[at + steps[i]];
      sum += value; square += value * value; product += value * piece[i];
    }
    const spread = square - sum * sum / piece.length;
    return spread > piece.length ? product / Math.sqrt(spread) : 0; // flatter than one grey level is no picture
  };
}

let stepsFor = { width: 0, steps: new Int32Array(0) };
function stepsOf(width) {
  if (stepsFor.width !== width) stepsFor = { width, steps: Int32Array.from(OFFSETS, ({ x, y }) => y * width + x) };
  return stepsFor.steps;
}

/** The best place within `reach` of the start; while it lies at the border, again round it. */
function climb(seek, mark, start, reach, step) {
  const piece = turnedBy(mark, start.steps);
  let best = { ...start, score: seek(piece, start.x, start.y) };
  for (let more = 0; more < 3; more += 1) {
    const from = best;
    for (let y = from.y - reach; y <= from.y + reach; y += step) {
      for (let x = from.x - reach; x <= from.x + reach; x += step) {
        const score = seek(piece, x, y);
        if (score > best.score) best = { ...from, x, y, score };
      }
    }
    if (Math.max(Math.abs(best.x - from.x), Math.abs(best.y - from.y)) < reach) break;
  }
  return best;
}

/** Turns on as long as the likeness grows. */
function turnedBest(seek, mark, start) {
  let best = start;
  for (const way of [1, -1]) {
    for (let more = 0; more < MOST_TURNS; more += 1) {
      const next = climb(seek, mark, { ...best, steps: best.steps + way }, 1, 1);
      if (next.score <= best.score) break;
      best = next;
    }
  }
  return best;
}

/** The summit of the likeness between pixels. */
function exactly(seek, mark, best) {
  const piece = turnedBy(mark, best.steps);
  const score = (dx, dy) => seek(piece, best.x + dx, best.y + dy);
  const shift = (before, after) => Math.max(-0.5, Math.min(0.5, summit(before, best.score, after)));
  return { ...best, x: best.x + shift(score(-1, 0), score(1, 0)), y: best.y + shift(score(0, -1), score(0, 1)) };
}
