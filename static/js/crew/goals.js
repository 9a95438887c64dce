// What a pass of the search looks for: how it ranks a list that has grown by a dive. Nothing that cannot become better
// than what was found is kept.
import { rankOf } from "./beam.js";

const NEVER = Infinity;

/** The line first, then the least waiting; of lists that wait alike, the one whose people have rested more. */
export class Shortest {
  isFair = false;

  /** @param {{ whole: number, wait: number }} list the line's cost to the end, and the waiting so far */
  rank({ whole, wait }, loads, ends, option) {
    return rankOf(whole, wait + loads.wait(ends, option), loads.tired(ends, option));
  }
}

/** A fairer list than the one that was found, no worse in what comes before. */
export class Fairer {
  isFair = true;

  /** @param {CrewFound} found */
  constructor(found) {
    this.found = found;
  }

  rank({ whole, wait }, loads, ends, option) {
    const { found } = this;
    if (whole > found.cost || wait > found.wait) return NEVER;
    const fair = leastUnfair(loads.label.duties, option, loads.duties);
    if (fair >= found.fair) return NEVER;
    return rankOf(whole, Math.max(found.wait, wait + loads.wait(ends, option)), fair);
  }
}

/** The least sum of the squares: these have one duty more, and each duty to come is for whoever has the fewest. */
export function leastUnfair(duties, option, coming) {
  const counts = duties.slice();
  for (const place of option) counts[place] += 1;
  for (let left = coming; left > 0; left -= 1) {
    let fewest = 0;
    for (let at = 1; at < counts.length; at += 1) if (counts[at] < counts[fewest]) fewest = at;
    counts[fewest] += 1;
  }
  let sum = 0;
  for (const count of counts) sum += count * count;
  return sum;
}
