// The tones of the calls as plain values: which tone at which second, so that a test can read what nobody can hear.

const HIGH_HZ = 1760, MIDDLE_HZ = 1320, LOW_HZ = 880;
const SHORT_S = 0.18, LONG_S = 0.9, EACH_S = 0.3;
const ALARM_S = 30; // how long the alarm of an overdue dive sounds

const times = (number, hz, length_s, each_s = EACH_S) =>
  Array.from({ length: number }, (_, index) => ({ after_s: index * each_s, hz, length_s }));

/** How each call sounds: told apart by the number of tones and their length, not by their height alone. */
const SOUNDS = {
  soon: times(1, LOW_HZ, SHORT_S),
  official: times(1, HIGH_HZ, LONG_S),
  leave: times(2, HIGH_HZ, SHORT_S),
  turn: times(1, MIDDLE_HZ, SHORT_S),
  meet: times(3, HIGH_HZ, SHORT_S),
  back: times(1, MIDDLE_HZ, LONG_S),
  overdue: times(ALARM_S / 0.5, HIGH_HZ, EACH_S, 0.5),
  watched: times(2, LOW_HZ, LONG_S, 1.1),
};

/** How each call vibrates, in milliseconds on and off. */
export const SHAKES = {
  soon: [80], official: [600], leave: [200, 120, 200], turn: [200], meet: [200, 120, 200, 120, 200], back: [700],
  overdue: Array.from({ length: 19 }, (_, index) => (index % 2 ? 200 : 400)), watched: [500, 200, 500],
};

/**
 * The tones of the calls that are still to come at the second `from_s`: {call, at_s, hz, length_s}. A call whose moment
 * has passed has no tone: a late beep would be taken for one in time.
 * @param {{ call: string, at_s: number }[]} calls @param {number} from_s
 */
export function tonesOf(calls, from_s) {
  return calls.filter(({ at_s }) => at_s > from_s).flatMap(({ call, at_s }) =>
    (SOUNDS[call] ?? []).map(({ after_s, hz, length_s }) => ({ call, at_s: at_s + after_s, hz, length_s })));
}
