// What the search keeps of all lists of one length: the best by their rank, and of these none that another one of the
// same dives beats in everything that counts later.

const WAITS = 2 ** 13; // more than the half minutes of a day
const LASTS = 2 ** 14; // more than what decides among lists that wait alike
const SPARE = 2; // candidates looked at for each list kept
const FULL = 4; // times as many candidates before all but the best are dropped
const DUTIES = 32; // spreads lists over groups: others may share one
const DIVES = 2 ** 6, OPTIONS = 2 ** 10; // more than there are, of dives and of choices of safety divers

/** One number for what counts, in its order: the line, waiting, and what decides then. It is exact: below 2 ** 53. */
export function rankOf(cost, wait, last) {
  return (cost * WAITS + Math.min(wait, WAITS - 1)) * LASTS + Math.min(last, LASTS - 1);
}

export class Beam {
  /** @param {number} width @param {boolean} isFair whether lists differ by who had how many duties */
  constructor(width, isFair) {
    this.width = width;
    this.isFair = isFair;
    this.limit = Infinity; // no rank above it can be kept
    this.isWhole = true; // whether no list was dropped for want of room
    this.ranks = [];
    this.codes = [];
    this.begins = [];
  }

  /** A list that could grow by a dive: all by their places, `option` among the choices of safety divers. */
  add(rank, from, dive, option, begins) {
    if (rank > this.limit || rank === Infinity) return;
    this.ranks.push(rank);
    this.codes.push((from * DIVES + dive) * OPTIONS + option);
    this.begins.push(begins);
    if (this.ranks.length >= this.width * SPARE * FULL) this.#drop();
  }

  /** The lists that are kept, best first; `make` makes one of (from, dive, option, begins). */
  kept(make) {
    this.#drop();
    const { ranks, codes, begins } = this;
    const order = [...ranks.keys()].sort((one, other) => ranks[one] - ranks[other] || one - other);
    const groups = new Map();
    const kept = [];
    for (const at of order) {
      if (kept.length === this.width) {
        this.isWhole = false;
        break;
      }
      const [from, dive] = [Math.floor(codes[at] / (DIVES * OPTIONS)), Math.floor(codes[at] / OPTIONS) % DIVES];
      const label = make(from, dive, codes[at] % OPTIONS, begins[at]);
      if (isNew(groups, label, this.isFair)) kept.push(label);
    }
    return kept;
  }

  // Keep so many of the lowest ranks; of equal ones those that were added first.
  #drop() {
    const most = this.width * SPARE;
    if (this.ranks.length <= most) return;
    this.isWhole = false;
    const { ranks } = this;
    this.limit = Float64Array.from(ranks).sort()[most - 1];
    const equal = most - ranks.reduce((count, rank) => count + Number(rank < this.limit), 0);
    this.#keep((rank, met) => rank < this.limit || (rank === this.limit && met < equal));
  }

  // Keep in place those of which `isKept` of (rank, how many of the highest rank were met before).
  #keep(isKept) {
    const { ranks, codes, begins } = this;
    let to = 0, met = 0;
    for (let at = 0; at < ranks.length; at += 1) {
      if (isKept(ranks[at], met)) {
        [ranks[to], codes[to], begins[to]] = [ranks[at], codes[at], begins[at]];
        to += 1;
      }
      if (ranks[at] === this.limit) met += 1;
    }
    ranks.length = codes.length = begins.length = to;
  }
}

function isNew(groups, list, isFair) {
  const key = isFair ? list.duties.reduce((sum, count) => sum * DUTIES + count, list.done) : list.done;
  const group = groups.get(key);
  if (!group) groups.set(key, [list]);
  else if (group.some((other) => beats(other, list, isFair))) return false;
  else group.push(list);
  return true;
}

// Whether a list is nowhere worse than another one of the same dives.
function beats(one, other, isFair) {
  return one.done === other.done && one.dm === other.dm && one.cost <= other.cost && one.wait <= other.wait
    && one.end <= other.end && isEarlier(one.free, other.free, other.end)
    && isEarlier(one.deepFrom, other.deepFrom, other.end) && isEarlier(one.rested, other.rested, other.end)
    && (!isFair || one.duties.every((count, at) => count === other.duties[at]));
}

function isEarlier(moments, others, end) {
  for (let at = 0; at < moments.length; at += 1) if (moments[at] > others[at] && moments[at] > end) return false;
  return true;
}
