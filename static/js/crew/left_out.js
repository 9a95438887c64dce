// Which dives are left out when not all of them find a place: as few as possible. Only official times and pinned places
// can stand in the way of others.
import { choose } from "./choices.js";

const EACH = 100; // a dive left out
const FIXED = 1, PINNED = -1; // an official time is rather kept, a pinned place rather given up
const MOST_SETS = 2100; // three of 24

/**
 * The sets of dives to leave out, those with the least loss first: {lost, sets}. The last leaves a list that exists.
 * @param {{ fixed: number | null, pinned: number | null }[]} dives
 */
export function* leftOuts(dives) {
  yield { lost: 0, sets: [[]] };
  const bound = [...dives.keys()].filter((place) => dives[place].fixed !== null || dives[place].pinned !== null);
  for (let many = 1; many <= bound.length; many += 1) yield* byLoss(dives, setsOf(dives, bound, many));
}

function setsOf(dives, bound, many) {
  if (ways(dives.length, many) <= MOST_SETS) return choose([...dives.keys()], many);
  return ways(bound.length, many) <= MOST_SETS ? choose(bound, many) : [];
}

function ways(all, many) {
  let count = 1;
  for (let taken = 0; taken < many; taken += 1) count = count * (all - taken) / (taken + 1);
  return count;
}

function* byLoss(dives, sets) {
  const losses = sets.map((set) => set.reduce((sum, place) => sum + lossOf(dives[place]), 0));
  for (const lost of [...new Set(losses)].sort((one, other) => one - other)) {
    yield { lost, sets: sets.filter((_, at) => losses[at] === lost) };
  }
}

function lossOf({ fixed, pinned }) {
  return EACH + (fixed === null ? 0 : FIXED) + (pinned === null ? 0 : PINNED);
}
