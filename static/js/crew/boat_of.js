// The rows of a crew's feed of one day as the boat that the run order takes, and what became of each dive of the list.
//
// It takes plain rows in any sequence: every phone with the same rows makes the same boat. Moments are half minutes
// since midnight; `half(instant)` turns a kept moment into them, fractions included.
import { numbersOf, tenths } from "./rules.js";

const HALF_S = 30, HALVES_OF_HOUR = 120, HALVES_OF_MINUTE = 2;
const ENDED_BY = "rescue"; // of a result: the day is over for the diver
const WARM_UP = "warm-up"; // comes before the deep dive of its diver
const BEFORE = { deep: true, drill: false }; // a role's place among the dives of one diver

/** A clock's HH:MM as half minutes since midnight; null for none. @param {string | null} clock */
export function halvesOf(clock) {
  const found = /^(\d{1,2}):(\d{2})$/.exec(clock ?? "");
  return found ? Number(found[1]) * HALVES_OF_HOUR + Number(found[2]) * HALVES_OF_MINUTE : null;
}

const byRecord = (one, other) => (one.record < other.record ? -1 : Number(one.record > other.record));

/**
 * What the feed says of one day: the crew day, who is aboard, the dives with what became of them, all guests.
 * @param {CrewFeedRow[]} rows @param {string} date @param {(instant: string) => number} half @returns {CrewDay}
 */
export function dayOf(rows, date, half) {
  const kept = rows.filter((row) => !row.deleted).sort(byRecord);
  const ofDay = (kind) => kept.filter((row) => row.kind === kind && row.fields.date === date);
  /** @type {any[]} */
  const turns = ofDay("turn").map(({ record, fields }) => ({ id: record, ...fields, ...timesOf(fields, half) }));
  const running = turns.filter(({ state }) => state === "running").sort((one, other) => other.began - one.began);
  for (const turn of running.slice(1)) turn.state = "unended"; // one dive a line at a time: its end was never noted
  return { date, day: ofDay("crew_day")[0]?.fields ?? {}, turns, running: running[0] ?? null,
    aboard: onceEach(ofDay("aboard")), guests: kept.filter(({ kind }) => kind === "guest") };
}

// Somebody stands on the list once, whatever two phones wrote.
/** @param {CrewFeedRow[]} rows */
function onceEach(rows) {
  const people = new Map(rows.map(({ record, fields }) => [fields.person, { record, ...fields }]));
  return [...people.values()];
}

/** @param {any} fields @param {(instant: string) => number} half */
function timesOf({ began_at, ended_at, dive_s, result }, half) {
  const takes = Math.max(1, Math.ceil((dive_s ?? 0) / HALF_S));
  const ended = ended_at ? Math.ceil(half(ended_at)) : null;
  const began = began_at ? Math.floor(half(began_at)) : ended === null ? null : ended - takes;
  const state = ended !== null || result ? "ended" : began !== null ? "running" : "coming";
  return { state, began, ended: ended ?? (began === null ? null : began + takes) };
}

/**
 * The boat of a day at this moment, and the dives that are deeper than the line may be set.
 * @param {CrewDay} crew @param {number} at @param {CrewLimits} limits
 * @returns {{ boat: Boat, tooDeep: CrewOrder["cannot"] }}
 */
export function boatOf(crew, at, limits) {
  const { turns, running, day } = crew;
  const open = turns.filter(({ state }) => state === "coming");
  const most = day.line_most_m ?? Infinity;
  const listed = open.filter(({ depth_m }) => depth_m <= most);
  const starts = halvesOf(day.starts_at);
  const longest_s = Math.max(0, ...turns.map(({ dive_s }) => dive_s ?? 0));
  return {
    boat: {
      at, line: lineOf(turns, starts),
      people: crew.aboard.map((one) => personOf(one, crew, numbersOf(limits))),
      dives: [...(running ? [running] : []), ...listed].map((turn) => diveOf(turn, open, longest_s)),
      running: running && { dive: running.id, began: running.began, safety: running.safety ?? [] },
    },
    tooDeep: open.filter(({ depth_m }) => depth_m > most).map(({ id, person }) =>
      ({ dive: id, rule: "line_most", who: [person], values: { most_m: most } })),
  };
}

const isOver = ({ state, ended }) => (state === "ended" || state === "unended") && ended !== null;

// Where the last dive left the line, and since when nobody is on it.
function lineOf(turns, starts) {
  const over = turns.filter(isOver);
  if (over.length === 0) return starts === null ? { depth_m: null } : { depth_m: null, free_from: starts };
  const last = over.reduce((found, one) => (one.ended > found.ended ? one : found));
  return { depth_m: last.depth_m, free_from: Math.max(last.ended, starts ?? 0) };
}

function diveOf(turn, open, longest_s) {
  const { id, person, depth_m, dive_s, role, fixed_at, pinned, safety } = turn;
  const others = open.filter((one) => one.person === person && one.id !== id);
  return { id, person, depth_m, half_minutes: Math.max(1, Math.ceil((dive_s ?? longest_s) / HALF_S)),
    pause: pauseOf(others), deep: BEFORE[role] ?? null, warm_up: role === WARM_UP,
    fixed_at: halvesOf(fixed_at), pinned: pinned ?? null,
    safety: safety?.length > 0 ? safety : null };
}

// A dive says which pause comes before it; whichever of them follows, the longest is kept.
function pauseOf(coming) {
  return Math.ceil(Math.max(0, ...coming.map(({ pause_s }) => pause_s ?? 0)) / HALF_S);
}

/** @param {any} one @param {CrewDay} crew @param {any} numbers @returns {CrewPerson} */
function personOf({ person, name, may_meet_m, ready, late_until, over }, { turns }, { rest, deepDm }) {
  const past = turns.filter(isOver);
  const own = past.filter((turn) => turn.person === person);
  const duties = past.filter(({ safety }) => safety?.includes(person));
  const pause = pauseOf(turns.filter((turn) => turn.person === person && turn.state === "coming"));
  const late = halvesOf(late_until) ?? 0;
  const last = (list, more) => Math.max(late, ...list.map(({ ended }) => ended + more));
  const beyond = own.filter(({ depth_m, reached_m }) => tenths(Math.max(depth_m, reached_m ?? 0)) > deepDm);
  return {
    id: person, name, may_meet_m: may_meet_m ?? null, ready: ready === true,
    free_from: last(own, pause), deep_from: Math.max(last(own, pause), last(duties, rest)),
    rested_from: last(beyond, rest), safety_count: duties.length,
    day_over: over === true || own.some(({ result }) => result === ENDED_BY),
  };
}
