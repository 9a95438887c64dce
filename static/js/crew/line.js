// What the line costs: how often it changes its depth, and by how much, as one whole number. Changes weigh more than
// any length.

const CHANGE = 2 ** 18; // more than the tenths of a metre that a list can move the line
const MOST_EXACT = 13; // dives for which the table of all sets is small
const NEVER = 2 ** 30;
const BITS = Array.from({ length: 53 }, (_, place) => 2 ** place); // a whole number has so many that are exact

export const isPossible = (cost) => cost < NEVER;
export const changesOf = (cost) => Math.floor(cost / CHANGE);
export const movedOf = (cost) => cost % CHANGE;

/** The cost of setting the line from one depth to another; the first time it is set costs nothing. */
export function moveCost(fromDm, toDm) {
  return fromDm === null || fromDm === toDm ? 0 : CHANGE + Math.abs(toDm - fromDm);
}

/**
 * A function of (set of dives done, as bits; the last one; the places of the dives still to come) that gives the least
 * that the line costs from there on. Exact up to 13 dives, below it beyond. `places`: which dive is pinned where.
 * @param {CrewTask} task @param {Map<number, number>} places
 * @returns {(done: number, last: number, coming: number[]) => number}
 */
export function leftOver(task, places) {
  if (task.dives.length > MOST_EXACT) return (_, last, coming) => span(task.dives, last, coming);
  const table = tableOf(task, places);
  return (done, last) => table[done * (task.dives.length + 1) + last + 1];
}

/** Whether this set of dives, as bits in a whole number of up to 52, has this one. */
export function has(done, place) {
  return Math.floor(done / BITS[place]) % 2 === 1;
}

// At least one change for each other depth, and once over all of them.
function span(dives, last, coming) {
  const { dm } = dives[last];
  const others = new Set();
  let up = 0, down = 0;
  for (const place of coming) {
    const to = dives[place].dm;
    if (place === last || to === dm) continue;
    others.add(to);
    up = Math.max(up, dm - to);
    down = Math.max(down, to - dm);
  }
  return others.size * CHANGE + up + down + Math.min(up, down);
}

// From the full set backwards: row = set done, column 0 = the line as it is now, column 1 + place = after that dive.
function tableOf({ dives, before, line }, places) {
  const [size, full] = [dives.length + 1, 2 ** dives.length - 1];
  const table = new Int32Array((full + 1) * size).fill(NEVER);
  const depths = [line.dm, ...dives.map((dive) => dive.dm)];
  const costs = depths.map((from) => dives.map(({ dm }) => moveCost(from, dm)));
  const first = before.map((list) => list.reduce((bits, place) => bits | (1 << place), 0));
  const pinned = dives.map((_, place) => places.get(place) ?? 0);
  const taken = new Set(places.values());
  table.fill(0, full * size);
  for (let done = full - 1; done >= 0; done -= 1) {
    const place = bitsOf(done) + 1;
    const wanted = taken.has(place) ? place : 0;
    for (let dive = 0; dive < dives.length; dive += 1) {
      if (done & (1 << dive) || first[dive] & ~done || pinned[dive] !== wanted) continue;
      better(table, done * size, costs, dive, table[(done | (1 << dive)) * size + dive + 1]);
    }
  }
  return table;
}

// The row of a set, where this dive is better as the next one.
function better(table, row, costs, dive, rest) {
  for (let last = 0; last < costs.length; last += 1) {
    const cost = costs[last][dive] + rest;
    if (cost < table[row + last]) table[row + last] = cost;
  }
}

function bitsOf(done) {
  let bits = 0;
  for (let left = done; left > 0; left &= left - 1) bits += 1;
  return bits;
}
