// A dive that the dive clock timed, on its way into the log.
import { localDay, localTime } from "../clock.js";
import { changeClocks } from "../store/clocks.js";
import { keyOf } from "../store/keys.js";
import { bottomOf, takenOf, wholeOf } from "../timing/dive_clock.js";

/** This phone's diver's surfaced dive with this id of a clock, or null. @param {Slate} slate @param {string} asked */
export function timedDive({ kept, user }, asked) {
  const clocks = asked ? wholeOf(kept[keyOf.clocks(user?.id)]) : [];
  return clocks.find(({ id, name, surfaced_ms }) => id === asked && !name && surfaced_ms) ?? null;
}

/** What the clock knows of a dive, as fields of the form; the time is measured. @param {DiveClock} timed */
export function ofClock(timed) {
  const { discipline, role, target_m, surfaced_ms, safety, times } = timed;
  return { date: localDay(surfaced_ms), at: localTime(surfaced_ms), discipline, role, target_m, reached_m: target_m,
    dive_s: takenOf(timed) || null, down_s: downOf(timed), safety: safety || null, line_m: lineOf(times, target_m) };
}

// Whole seconds until the diver was at the bottom, where somebody noted it: a clock that was set back says nothing.
function downOf(timed) {
  const at_s = Math.round(bottomOf(timed) ?? 0);
  return at_s > 0 && at_s < takenOf(timed) ? at_s : null;
}

// The card of a shallower rung does not say how long the line was.
function lineOf(times, target_m) {
  return times?.depth_m === target_m ? times?.line_m ?? null : null;
}

/**
 * A dive that is saved is no longer offered by its clock. When this fails the clock finds the dive in the log.
 * @param {Slate} slate @param {DiveClock} timed @param {string} record
 */
export async function noteLogged({ user }, timed, record) {
  if (!timed) return;
  const noted = (one) => (one.id === timed.id ? { ...one, logged: record } : one);
  try {
    await changeClocks(user, (clocks) => wholeOf(clocks).map(noted));
  } catch (error) {
    console.error(error);
  }
}
