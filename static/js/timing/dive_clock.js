// The dive clock's arithmetic: what is called at which second, where the diver may be, which phase a dive is in.
// Moments are milliseconds, seconds count from the start of the dive. Nothing here asks the time.

const AHEAD_MS = 1000; // a moment this far ahead of the phone's clock means that the clock was set back
const SOON_S = [-60, -30, -10]; // calls before an official time
const ORDER = ["leave", "turn", "meet", "back", "overdue"]; // of calls in the same second

/** The times of a ladder's card. @param {Rung} rung @returns {ClockTimes} */
export function timesOfCard({ depth_m, card }) {
  const { down, turn_s, total_s, overdue_s, line_m, meet } = card;
  return { depth_m, line_m, down, turn_s, total_s, overdue_s, leave_s: meet.leave_s, meet_s: meet.meet_s,
    meet_m: meet.depth_m };
}

/**
 * The times of a dive of which only the expected time was typed; `numbers` are the rulebook's of an overdue dive.
 * @param {{ total_s: number, leave_s: number }} typed
 * @param {{ overdue_share: number, overdue_least_s: number }} numbers
 * @returns {ClockTimes}
 */
export function timesTyped({ total_s, leave_s }, { overdue_share, overdue_least_s }) {
  const overdue_s = Math.floor(total_s + Math.max(overdue_least_s, overdue_share * total_s));
  return { depth_m: null, line_m: null, down: [], turn_s: null, total_s, overdue_s, leave_s, meet_s: null,
    meet_m: null };
}

/** What is called in a dive with these times, in order, as {call, at_s}. @param {ClockTimes} times */
export function callsOf(times) {
  if (!times) return [];
  const { leave_s, turn_s, meet_s, total_s, overdue_s } = times;
  const at = { leave: leave_s, turn: turn_s, meet: meet_s, back: total_s, overdue: overdue_s };
  return ORDER.filter((call) => Number.isFinite(at[call])).map((call) => ({ call, at_s: at[call] }))
    .sort((one, other) => one.at_s - other.at_s);
}

/** All calls of a clock until the diver surfaces: those before an official time have seconds below nothing. */
export function allCalls({ times, official_ms, started_ms }) {
  const before = official_ms && !started_ms ? SOON_S.map((at_s) => ({ call: "soon", at_s })) : [];
  const start = before.length > 0 ? [{ call: "official", at_s: 0 }] : [];
  return [...before, ...start, ...callsOf(times)];
}

/** The call whose moment came last, and the next one: {last, next}, null where there is none. */
export function around(calls, t_s) {
  const last = calls.findLast(({ at_s }) => at_s <= t_s) ?? null;
  return { last, next: calls.find(({ at_s }) => at_s > t_s) ?? null };
}

/**
 * The estimated depth of the diver after `t_s` seconds, between the marks of the card; null without a card. A measured
 * arrival at the bottom moves the way up, and no call.
 * @param {ClockTimes} times @param {number} t_s @param {number} [bottom_s]
 */
export function markAt(times, t_s, bottom_s = null) {
  if (!times || times.turn_s === null) return null;
  const way = wayOf(times, bottom_s);
  const at = way.findIndex(([at_s]) => at_s >= t_s);
  if (at < 0) return 0;
  if (at === 0) return way[0][1];
  const [[from_s, from_m], [to_s, to_m]] = [way[at - 1], way[at]];
  return from_m + ((t_s - from_s) / (to_s - from_s)) * (to_m - from_m);
}

function wayOf({ depth_m, down, turn_s, meet_s, meet_m, total_s }, bottom_s) {
  const later = bottom_s === null ? 0 : bottom_s - turn_s;
  const marks = bottom_s === null ? down.map(([, at_m, at_s]) => [at_s, at_m]) : [];
  return [[0, 0], ...marks, [turn_s + later, depth_m], [meet_s + later, meet_m], [total_s + later, 0]];
}

/** The moment at which the dive began or will begin. @param {DiveClock} clock */
export function startOf({ started_ms, official_ms }) {
  return started_ms ?? official_ms;
}

/** Seconds since the start; below nothing before an official time. @param {DiveClock} clock @param {number} ms */
export function secondsOf(clock, ms) {
  return (ms - startOf(clock)) / 1000;
}

/** Whole seconds that the dive took. @param {DiveClock} clock */
export function takenOf(clock) {
  return Math.max(0, Math.round(secondsOf(clock, clock.surfaced_ms)));
}

/** Seconds at which the diver was at the bottom, or null. @param {DiveClock} clock */
export function bottomOf(clock) {
  return clock.bottom_ms ? secondsOf(clock, clock.bottom_ms) : null;
}

/**
 * count (before an official time), down, overdue, watch (just surfaced), up, away (logged or done), or ahead: its
 * moments lie ahead of the phone's clock.
 * @param {DiveClock} clock @param {number} ms @param {number} watch_s
 */
export function phaseOf(clock, ms, watch_s) {
  const { started_ms, surfaced_ms, logged, done } = clock;
  if (surfaced_ms && (logged || done)) return "away";
  if ((surfaced_ms ?? started_ms ?? 0) > ms + AHEAD_MS) return "ahead";
  if (surfaced_ms) return (ms - surfaced_ms) / 1000 < watch_s ? "watch" : "up";
  const t_s = secondsOf(clock, ms);
  if (t_s < 0 && !started_ms) return "count";
  return clock.times && t_s >= clock.times.overdue_s ? "overdue" : "down";
}

/** What stays of the list on the day `today`: its own clocks, and any that still runs. @param {DiveClock[]} clocks */
export function keptOn(clocks, today) {
  return clocks.filter(({ day, surfaced_ms }) => day === today || !surfaced_ms);
}

/** The clocks of what the phone kept that are whole. @param {any} kept @returns {DiveClock[]} */
export function wholeOf(kept) {
  const isWhole = (one) => typeof one?.id === "string" && Number.isFinite(startOf(one) ?? NaN);
  return Array.isArray(kept) ? kept.filter(isWhole) : [];
}
