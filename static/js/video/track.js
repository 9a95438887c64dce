// Follows marked points from frame to frame. The flow between two frames predicts, the likeness with what was marked
// corrects, and a point counts as lost by its likeness and by the length of its limbs. (Following it back to the frame
// before would not notice: a point that drifts goes back the same way.) A lost point is never guessed.
import { flow, hold } from "./flow.js";
import { lengthsOf, lostOf } from "./limbs.js";
import { pyramidOf } from "./pyramid.js";
import { findMark, markOf } from "./template.js";

const DEFAULTS = {
  least_score: 0.75, // likeness (1 = the same picture): on films with known places it caught 86 of 90 wrong points
  limb_share: 0.08, // of the marked length: on the same films it caught 90 of 90, with no false alarm in 59 frames
};
const LEAST_HOLD = 40; // squared grey levels per pixel: twice what the noise of a dark film gives
const EDGE_PX = 12; // nearer to the edge of the frame a mark is not whole

/**
 * Whether a mark here can be followed. If not: suggest a strap, the edge of a fin, or a piece of tape.
 * @param {Grey} frame @param {Point} point
 */
export function trackable(frame, { x, y }) {
  const inside = x >= EDGE_PX && y >= EDGE_PX && x < frame.width - EDGE_PX && y < frame.height - EDGE_PX;
  return inside && hold(frame, { x, y }) >= LEAST_HOLD;
}

/**
 * @param {Grey} frame @param {{ [name: string]: Point }} marks @param {string[][]} limbs pairs of names whose distance
 * stays @param {{ least_score?: number, limb_share?: number }} [options]
 * @returns {Tracker}
 */
export function makeTracker(frame, marks, limbs, options = {}) {
  return new Following(frame, marks, limbs, { ...DEFAULTS, ...options });
}

class Following {
  constructor(frame, marks, limbs, limits) {
    this.before = pyramidOf(frame);
    this.spare = null; // the pyramid before that one
    this.limbs = limbs;
    this.limits = limits;
    this.points = {};
    this.marks = {};
    this.lengths = limbs.map(() => NaN);
    for (const [name, point] of Object.entries(marks)) this.remark(frame, name, point);
  }

  /** The places in the next frame, and the names of the points that were lost in it; they come back when marked. */
  next(frame) {
    const now = pyramidOf(frame, this.spare);
    const found = {};
    for (const [name, point] of Object.entries(this.points)) found[name] = this.follow(name, point, now);
    const lost = lostOf(found, this.limbs, this.lengths, this.limits);
    for (const name of lost) delete found[name];
    this.spare = this.before;
    this.before = now;
    this.points = found;
    return { points: { ...found }, lost };
  }

  follow(name, point, now) {
    return findMark(this.marks[name], now[0], flow(this.before, now, point), point.steps, this.limits.least_score);
  }

  /** Goes on with a point that was marked anew in the frame that came last. */
  remark(frame, name, { x, y }) {
    this.marks[name] = markOf(frame, { x, y });
    this.points[name] = { x, y, score: 1, steps: 0 };
    const lengths = lengthsOf(this.points, this.limbs);
    this.limbs.forEach((ends, i) => { if (ends.includes(name)) this.lengths[i] = lengths[i]; });
  }
}
