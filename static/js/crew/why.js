// Why each dive stands where it stands, and why a dive has no place: codes with values; `said` makes a sentence of one.
import { fill } from "../reader/sentences.js";
import { metres } from "./rules.js";

const HALVES_OF_HOUR = 120, HALVES_OF_MINUTE = 2;

/**
 * The reasons of each step, in their order.
 * @param {CrewTask} task @param {CrewStep[]} steps @returns {CrewReason[][]}
 */
export function reasonsOf(task, steps) {
  const state = { free: [...task.start.free], deepFrom: [...task.start.deepFrom], rested: [...task.start.rested] };
  return steps.map((step, at) => {
    const dive = task.dives[step.dive];
    const found = [...placeReasons(task, steps, at), ...waitReasons(task, state, step), ...safetyReasons(task, step)];
    pass(task, state, dive, step);
    return found.map(({ who = [], code, ...values }) =>
      ({ code, values: who.length > 0 ? { who: who.map((place) => task.people[place].id), ...values } : values }));
  });
}

function placeReasons({ dives }, steps, at) {
  const { dive: place, fromDm } = steps[at];
  const { fixed, pinned, dm, deep, warms, person } = dives[place];
  const hasLater = (isDeep) => steps.slice(at).some(({ dive }) => dives[dive].person === person
    && dives[dive].deep === isDeep);
  return [
    ...(fixed === null ? [] : [{ code: "fixed", at: fixed }]),
    ...(pinned === null ? [] : [{ code: "pinned", place: at + 1 }]),
    lineReason(fromDm, dm),
    ...(warms && hasLater(true) ? [{ code: "warm_first", who: [person] }] : []),
    ...(deep === true && hasLater(false) ? [{ code: "deep_first", who: [person] }] : []),
  ];
}

function lineReason(fromDm, dm) {
  const to_m = metres(dm);
  if (fromDm === null) return { code: "line_set", to_m };
  if (fromDm === dm) return { code: "line_stays", to_m };
  return { code: "line_moves", from_m: metres(fromDm), to_m, moved_m: metres(Math.abs(dm - fromDm)) };
}

// Everything that keeps the dive from beginning as soon as the line is ready, and ends when it begins.
function waitReasons({ dives }, { free, deepFrom, rested }, { dive, ready, begins, safety }) {
  if (begins === ready) return [];
  const { person, beyond } = dives[dive];
  const isCause = (moment) => moment === begins;
  const tired = safety.filter((place) => isCause(rested[place]));
  return [
    ...(isCause(free[person]) ? [{ code: "pause", who: [person], until: begins }] : []),
    ...(beyond && isCause(deepFrom[person]) && deepFrom[person] > free[person]
      ? [{ code: "rest_after_safety", who: [person], until: begins }] : []),
    ...(tired.length > 0 ? [{ code: "safety_rests", who: tired, until: begins }] : []),
  ];
}

function safetyReasons({ dives, numbers }, { dive }) {
  const { named, dm } = dives[dive];
  return [
    ...(named.length > 0 ? [{ code: "named", who: named }] : []),
    ...(dm > numbers.twoDm ? [{ code: "two_safeties", deeper_m: metres(numbers.twoDm) }] : []),
  ];
}

// What this step asks of its people from then on.
function pass({ numbers }, { free, deepFrom, rested }, { person, pause, beyond }, { ends, safety }) {
  free[person] = Math.max(free[person], ends + pause);
  if (beyond) rested[person] = Math.max(rested[person], ends + numbers.rest);
  for (const place of safety) deepFrom[place] = Math.max(deepFrom[place], ends + numbers.rest);
}

/** Why the search left this dive out. @param {CrewTask} task @param {number} place */
export function ruleOf({ dives, people }, place) {
  const { id, fixed, pinned, person } = dives[place];
  const who = [people[person].id];
  if (fixed !== null) return { dive: id, rule: "fixed_time", who, values: { at: fixed } };
  if (pinned !== null) return { dive: id, rule: "pinned", who, values: { place: pinned } };
  return { dive: id, rule: "around", who, values: {} };
}

/**
 * A reason, or a rule that leaves a dive out, as a sentence: `words` are the rulebook's, by code.
 * @param {CrewReason} reason @param {{ [code: string]: string }} words @param {{ id: string, name: string }[]} people
 */
export function said({ code, values }, words, people) {
  const names = new Map(people.map(({ id, name }) => [id, name]));
  const moments = Object.entries(values).filter(([name]) => name === "at" || name === "until")
    .map(([name, half]) => [name, clockOf(half)]);
  const who = (values.who ?? []).map((id) => names.get(id) ?? id).join(", ");
  return fill(words[code], { ...values, ...Object.fromEntries(moments), who });
}

/** Half minutes since midnight as HH:MM, the moment within its minute left out. @param {number} half */
export function clockOf(half) {
  const two = (number) => String(number).padStart(HALVES_OF_MINUTE, "0");
  const minutes = Math.floor((half % HALVES_OF_HOUR) / HALVES_OF_MINUTE);
  return `${two(Math.floor(half / HALVES_OF_HOUR))}:${two(minutes)}`;
}
