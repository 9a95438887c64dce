// Which dives are left out when not all of them find a place: as few as possible. Only official times and pinned places
// can stand in the way of others.
import { choose } from "./choices.js";
import { setUp } from "./rules.js";

const EACH = 100; // a dive left out
const FIXED = 1, PINNED = -1; // an official time is rather kept, a pinned place rather given up
const PAIR = 2;
const MOST_SETS = 2100; // three of 24

/**
 * The sets of dives to leave out, those with the least loss first: {lost, sets}. The last leaves a list that exists.
 * @param {CrewTask} task
 */
export function* leftOuts(task) {
  const { dives } = task;
  const clashes = clashesOf(task);
  const bound = [...dives.keys()].filter((place) => dives[place].fixed !== null || dives[place].pinned !== null);
  for (let many = 0; many <= bound.length; many += 1) yield* byLoss(dives, setsOf(dives, bound, many, clashes));
}

// Of each two official times that exclude each other, one at least is left out.
function setsOf(dives, bound, many, clashes) {
  const all = ways(dives.length, many) <= MOST_SETS ? [...dives.keys()] : bound;
  if (ways(all.length, many) > MOST_SETS) return [];
  return choose(all, many).filter((set) => clashes.every((two) => two.some((place) => set.includes(place))));
}

// The pairs of dives whose official times leave no time for the first, the line, or its diver's pause.
function clashesOf({ dives, numbers }) {
  const timed = [...dives.keys()].filter((place) => dives[place].fixed !== null)
    .sort((one, other) => dives[one].fixed - dives[other].fixed);
  const isClash = ([one, other]) => {
    const [first, next] = [dives[one], dives[other]];
    const rests = Math.max(setUp(numbers, first.dm, next.dm), first.person === next.person ? first.pause : 0);
    return first.fixed + first.takes + rests > next.fixed;
  };
  return choose(timed, PAIR).filter(isClash);
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
