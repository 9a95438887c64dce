// The rules of a run order in whole numbers: half minutes, and tenths of a metre. People and dives are sorted by their
// ids and then known by their place, so that every phone works on the same lists.

const TENTHS = 10; // of a metre
const THOUSANDTHS = 1000; // of a share
const HALF_S = 30, MINUTE = 2; // seconds of a half minute, half minutes of a minute
const PAIR = 2; // safety divers of a dive beyond that depth
export const MOST_DIVES = 52; // the places of a whole number that stays exact

export const tenths = (metres) => Math.round(metres * TENTHS);
export const metres = (dm) => dm / TENTHS;

const byId = (one, other) => (one.id < other.id ? -1 : Number(one.id > other.id));

/**
 * The rulebook's numbers as the search takes them.
 * @param {CrewLimits} limits
 */
export function numbersOf(limits) {
  return {
    rest: Math.ceil(limits["crew.safety_rest"] * MINUTE), deepDm: tenths(limits["crew.deep_m"]),
    twoDm: tenths(limits["crew.two_safeties_m"]), setUpS: limits["crew.set_up_s"],
    setUpPerM: limits["crew.set_up_each_metre"], meetShare: Math.round(limits["safety.meet_share"] * THOUSANDTHS),
    meetMostDm: tenths(limits["safety.meet_most_m"]),
  };
}

/**
 * Half minutes from the end of a dive to the line set for the next.
 * @param {{ [name: string]: number }} numbers @param {number | null} fromDm null: not set yet @param {number} toDm
 */
export function setUp({ setUpS, setUpPerM }, fromDm, toDm) {
  const moved = fromDm === null ? 0 : Math.abs(toDm - fromDm);
  return Math.ceil((setUpS * TENTHS + setUpPerM * moved) / (HALF_S * TENTHS));
}

/** Where a safety diver meets the diver of this depth. */
export function meetDm({ meetShare, meetMostDm }, depthDm) {
  return Math.min(Math.ceil((meetShare * depthDm) / THOUSANDTHS), meetMostDm);
}

/**
 * A boat as the search takes it: lists by place, and what cannot be placed whatever the order.
 * @param {Boat} boat @param {CrewLimits} limits @returns {CrewTask}
 */
export function taskOf(boat, limits) {
  const numbers = numbersOf(limits);
  const people = boat.people.toSorted(byId);
  const known = new Map(people.map((person, place) => [person.id, place]));
  const coming = boat.dives.filter(({ id }) => id !== boat.running?.dive).sort(byId);
  const judge = new Judge(boat, numbers, people, known);
  const judged = coming.map((dive, place) => ({ dive, fault: place < MOST_DIVES ? judge.fault(dive) : TOO_MANY }));
  const dives = judged.filter(({ fault }) => !fault).map(({ dive }) => judge.dive(dive));
  return {
    at: boat.at, numbers, people, dives, before: beforeOf(dives), line: judge.line, start: judge.start,
    running: judge.running, removed: people.filter((one) => one.day_over).map(({ id }) => id),
    cannot: judged.filter(({ fault }) => fault).map(({ dive, fault }) => ({ dive: dive.id, ...fault })),
  };
}

const TOO_MANY = { rule: "too_many", who: [], values: { most: MOST_DIVES } };

// Which dives come before each: a diver's warm-ups before the deep dives, those before the drills, and official times
// in their order.
function beforeOf(dives) {
  const isFirst = (one, other) => (one.warms && other.deep === true) || (one.deep === true && other.deep === false);
  const first = (one, other) => (one.person === other.person && isFirst(one, other))
    || (one.fixed !== null && other.fixed !== null && one.fixed < other.fixed);
  return dives.map((dive) => dives.flatMap((other, place) => (first(other, dive) ? [place] : [])));
}

class Judge {
  constructor(boat, numbers, people, known) {
    this.boat = boat;
    this.numbers = numbers;
    this.people = people;
    this.known = known;
    this.here = people.map((one) => one.ready && !one.day_over);
    this.start = {
      free: people.map((one) => one.free_from), rested: people.map((one) => one.rested_from),
      deepFrom: people.map((one) => one.deep_from ?? one.free_from), duties: people.map((one) => one.safety_count),
    };
    this.line = { dm: boat.line.depth_m === null ? null : tenths(boat.line.depth_m),
      free: boat.line.free_from ?? boat.at };
    this.running = boat.running && this.#run(boat.running);
  }

  // What runs now: the line is busy until it ends, its diver and safety divers begin their rests there.
  #run({ dive: id, began, safety }) {
    const { numbers, start } = this;
    const dive = this.boat.dives.find((one) => one.id === id);
    const ends = Math.max(this.boat.at, began + dive.half_minutes);
    const [dm, person] = [tenths(dive.depth_m), this.known.get(dive.person)];
    this.line = { dm, free: ends };
    if (person !== undefined) {
      start.free[person] = Math.max(start.free[person], ends + dive.pause);
      if (dm > numbers.deepDm) start.rested[person] = Math.max(start.rested[person], ends + numbers.rest);
    }
    for (const other of safety.map((one) => this.known.get(one)).filter((one) => one !== undefined)) {
      start.deepFrom[other] = Math.max(start.deepFrom[other], ends + numbers.rest);
      start.duties[other] += 1;
    }
    return { dive: id, begins: began, ends, safety, dm };
  }

  /** The dive in whole numbers. @param {CrewDive} dive */
  dive(dive) {
    const dm = tenths(dive.depth_m);
    const named = (dive.safety ?? []).map((id) => this.known.get(id)).sort((one, other) => one - other);
    return {
      id: dive.id, person: this.known.get(dive.person), dm, takes: dive.half_minutes, pause: dive.pause,
      deep: dive.deep, warms: dive.warm_up === true,
      beyond: dm > this.numbers.deepDm, need: Math.max(this.#need(dm), named.length), named,
      able: this.#able(dive), fixed: dive.fixed_at ?? null, pinned: dive.pinned ?? null,
    };
  }

  /** Why the dive has no place in any order: {rule, who, values}, or null. @param {CrewDive} dive */
  fault(dive) {
    const person = this.known.get(dive.person);
    const own = { who: [dive.person], values: {} };
    if (person === undefined) return { rule: "unknown_diver", ...own };
    if (this.people[person].day_over) return { rule: "day_over", ...own };
    if (!this.here[person]) return { rule: "not_ready", ...own };
    return this.#namedFault(dive) ?? this.#safetyFault(dive) ?? this.#timeFault(dive, person);
  }

  #namedFault(dive) {
    const able = this.#able(dive).map((place) => this.people[place].id);
    const who = (dive.safety ?? []).filter((id) => !able.includes(id));
    return who.length > 0 ? { rule: "named_safety", who, values: { meet_m: this.#meet(dive) } } : null;
  }

  #safetyFault(dive) {
    const [need, have] = [this.#need(tenths(dive.depth_m)), this.#able(dive).length];
    if (have >= need) return null;
    const who = this.people.filter((one, place) => !this.here[place] && this.#canMeet(one, dive)).map(({ id }) => id);
    const values = { need, have, meet_m: this.#meet(dive) };
    return { rule: need === 1 ? "safety" : "two_safeties", who, values };
  }

  // An official time before which the diver, the line or enough safety divers are not free.
  #timeFault(dive, person) {
    if ((dive.fixed_at ?? null) === null) return null;
    const { start, numbers, line } = this;
    const { able, need, named, beyond } = this.dive(dive);
    const isLate = (moment) => moment > dive.fixed_at;
    const late = able.filter((place) => isLate(start.rested[place]));
    const tired = late.filter((place) => named.includes(place));
    if (able.length - late.length < need) tired.push(...late.filter((place) => !named.includes(place)));
    if (isLate(Math.max(start.free[person], beyond ? start.deepFrom[person] : 0))) tired.push(person);
    const isBusy = isLate(Math.max(this.boat.at, line.free + setUp(numbers, null, 0)));
    if (tired.length === 0 && !isBusy) return null;
    return { rule: "fixed_time", who: tired.map((place) => this.people[place].id), values: { at: dive.fixed_at } };
  }

  #need(dm) {
    return dm > this.numbers.twoDm ? PAIR : 1;
  }

  #meet(dive) {
    return metres(meetDm(this.numbers, tenths(dive.depth_m)));
  }

  #able(dive) {
    const places = this.people.map((_, place) => place);
    return places.filter((place) => this.here[place] && this.#canMeet(this.people[place], dive));
  }

  #canMeet(person, dive) {
    return person.id !== dive.person && person.may_meet_m !== null
      && tenths(person.may_meet_m) >= meetDm(this.numbers, tenths(dive.depth_m));
  }
}
