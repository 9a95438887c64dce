// Which points are lost: those that no longer look like their mark, and those whose limbs changed their length.
import { distance } from "./angles.js";

/** The limbs of a diver whose length stays; a fin is not one of them: its blade bends. */
export const LIMBS = [["shoulder", "hip"], ["hip", "knee"], ["knee", "ankle"]];

/** The length of each limb whose ends are both known, by its place in the list; NaN where one is missing. */
export function lengthsOf(points, limbs) {
  return limbs.map(([a, b]) => (points[a] && points[b] ? distance(points[a], points[b]) : NaN));
}

/**
 * The names of the lost points, those with the worst likeness first where a limb does not say which of its ends moved.
 * @param {{ [name: string]: ScoredPoint }} points @param {string[][]} limbs @param {number[]} lengths as marked
 * @param {{ least_score: number, limb_share: number }} limits
 */
export function lostOf(points, limbs, lengths, { least_score, limb_share }) {
  const lost = Object.keys(points).filter((name) => !(points[name].score >= least_score));
  for (;;) {
    const wrong = wrongLimbs(points, limbs, lengths, limb_share, lost);
    if (wrong.length === 0) return lost;
    lost.push(worst(points, wrong, limbs.filter((ends) => ends.every((end) => points[end] && !lost.includes(end)))));
  }
}

/** The limbs between points not lost whose length is off by more than the share. */
function wrongLimbs(points, limbs, lengths, share, lost) {
  const now = lengthsOf(points, limbs);
  return limbs.filter((ends, i) => !ends.some((end) => lost.includes(end))
    && Math.abs(now[i] - lengths[i]) > share * lengths[i]);
}

/** The point of which the largest share of limbs is wrong; among equals the one least like its mark. */
function worst(points, wrong, limbs) {
  const names = [...new Set(wrong.flat())];
  const many = (name, list) => list.filter((ends) => ends.includes(name)).length;
  const share = (name) => many(name, wrong) / many(name, limbs);
  return names.sort((a, b) => share(b) - share(a) || points[a].score - points[b].score)[0];
}
