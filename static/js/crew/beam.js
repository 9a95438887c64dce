// What the search keeps of all lists of one length: the best by their rank, and of these none that another one of the
// same dives beats in everything that counts later.

const WAITS = 2 ** 13; // more than the half minutes of a day
const FAIRS = 2 ** 14; // more than the squares of a day's duties
const SPARE = 4; // candidates looked at for each list kept

/** One number for what counts, in its order: the line, waiting, fairness. It stays exact: less than 2 ** 53. */
export function rankOf(cost, wait, fair) {
  return (cost * WAITS + Math.min(wait, WAITS - 1)) * FAIRS + Math.min(fair, FAIRS - 1);
}

export class Beam {
  /** @param {number} width @param {boolean} [isFair] whether lists differ by who had how many duties */
  constructor(width, isFair = false) {
    this.width = width;
    this.isFair = isFair;
    this.ranks = [];
    this.grows = [];
  }

  /** A list that could grow by a dive: `option` is the place of its safety divers in the list of choices. */
  add(rank, from, dive, option, begins) {
    this.ranks.push(rank);
    this.grows.push({ from, dive, option, begins });
  }

  /** The lists that are kept, best first; `make` makes one. */
  kept(make) {
    const groups = new Map();
    const kept = [];
    for (const at of this.#first(this.width * SPARE)) {
      if (kept.length === this.width) break;
      const label = make(this.grows[at]);
      if (isNew(groups, label, this.isFair)) kept.push(label);
    }
    return kept;
  }

  // The places of so many of the lowest ranks, in the order of their ranks; equal ones as they were added.
  #first(many) {
    const { ranks } = this;
    const places = ranks.map((_, at) => at);
    if (many < ranks.length) {
      const limit = Float64Array.from(ranks).sort()[many];
      return places.filter((at) => ranks[at] <= limit).sort((one, other) => ranks[one] - ranks[other] || one - other)
        .slice(0, many);
    }
    return places.sort((one, other) => ranks[one] - ranks[other] || one - other);
  }
}

function isNew(groups, label, isFair) {
  const key = `${label.done} ${label.dm} ${isFair ? label.duties : ""}`;
  const group = groups.get(key) ?? [];
  if (group.some((other) => beats(other, label))) return false;
  group.push(label);
  groups.set(key, group);
  return true;
}

// Whether a list is nowhere worse than another one of the same dives, which has the same line.
function beats(one, other) {
  return one.cost <= other.cost && one.wait <= other.wait && one.end <= other.end
    && isEarlier(one.free, other.free, other.end) && isEarlier(one.deepFrom, other.deepFrom, other.end)
    && isEarlier(one.rested, other.rested, other.end);
}

function isEarlier(moments, others, end) {
  for (let at = 0; at < moments.length; at += 1) if (moments[at] > others[at] && moments[at] > end) return false;
  return true;
}
