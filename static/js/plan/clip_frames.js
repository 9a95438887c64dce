// Which frame of a clip is which: frames count from 0, and two clips are laid side by side at the same phase of a kick.

const SAME_S = 0.001; // moments that a browser rounds

/** Frames a second, or the moment of each where they are uneven. @param {Clip} clip @returns {Rate} */
export const rateOf = ({ fps, times }) => times ?? fps;

/** How many frames a clip has. @param {Pick<Clip, "length_s" | "fps" | "times">} clip */
export function frameCount({ length_s, fps, times }) {
  return times?.length ?? Math.max(1, Math.round(length_s * fps));
}

/** The first and the last frame of the part that the diver chose. */
export function partOf(clip) {
  const end = frameCount(clip) - 1;
  return { first: Math.min(clip.first ?? 0, end), last: Math.min(clip.last ?? end, end) };
}

/** The frame that is shown at a moment of playing. */
export function frameAt(moment_s, clip) {
  if (clip.times) return Math.max(0, clip.times.findLastIndex((time_s) => time_s <= moment_s + SAME_S));
  return Math.min(frameCount(clip) - 1, Math.max(0, Math.round(moment_s * clip.fps)));
}

/** The seconds from one frame to another as the diver moved: a slow-motion clip shows them stretched. */
export function secondsFrom(one, other, { fps, times, slowed }) {
  return (times ? times[other] - times[one] : (other - one) / fps) / (slowed || 1);
}

/** The frame so many seconds after another one, between two frames too. */
function indexAfter(seconds, from, { fps, times, slowed }) {
  const shown_s = seconds * (slowed || 1);
  if (!times) return from + shown_s * fps;
  const rows = times.map((time_s, index) => ({ time_s, index }));
  return valueAt(rows, "time_s", "index", times[from] + shown_s);
}

/** The width and height that a frame is drawn at, at most `most_px` wide: points are counted in these pixels. */
export function drawnSize({ width, height }, most_px) {
  const wide = Math.min(width, most_px);
  return { width: Math.round(wide), height: Math.round((height * wide) / width) };
}

/**
 * How the frames of one clip stand to those of another: by the phases that were measured in both, else by the frame
 * that was marked in each. Null while neither is known.
 * @param {Clip} one @param {Clip} other
 * @param {{ t_s: number, phase: number }[][]} [phases]
 */
export function alignment(one, other, phases) {
  const [of, to] = (phases ?? []).map(unwrapped);
  if (of?.length > 1 && to?.length > 1) return { by: "kick", frame: byPhase(one, other, of, to), pace: paceOf(of, to) };
  if (one.phase_at === null || other.phase_at === null) return null;
  const frame = (index) => indexAfter(secondsFrom(one.phase_at, index, one), other.phase_at, other);
  return { by: "mark", frame, pace: 1 };
}

// The moment of the first frame, as tracks count.
const startOf = ({ times, slowed }) => (times?.[0] ?? 0) / (slowed || 1);

// Phases begin anew with each kick: here they count on.
function unwrapped(phases) {
  let turns = 0;
  return (phases ?? []).map(({ t_s, phase }, at) => {
    if (at > 0 && phase < phases[at - 1].phase - 0.5) turns += 1;
    return { t_s, phase: phase + turns };
  });
}

function byPhase(one, other, of, to) {
  return (index) => {
    const wanted = within(valueAt(of, "t_s", "phase", startOf(one) + secondsFrom(0, index, one)), to);
    return indexAfter(valueAt(to, "phase", "t_s", wanted) - startOf(other), 0, other);
  };
}

// The same phase of a kick that the other clip shows.
function within(phase, to) {
  const [least, most] = [to[0].phase, to.at(-1).phase];
  if (phase < least) return phase + Math.ceil(least - phase);
  return phase > most ? Math.max(least, phase - Math.ceil(phase - most)) : phase;
}

function valueAt(rows, from, wanted, value) {
  const after = rows.findIndex((row) => row[from] >= value);
  if (after <= 0) return rows.at(after === 0 ? 0 : -1)[wanted];
  const [low, high] = [rows[after - 1], rows[after]];
  const share = (value - low[from]) / (high[from] - low[from] || 1);
  return low[wanted] + share * (high[wanted] - low[wanted]);
}

// How much faster the other clip has to run to keep the same phase.
function paceOf(of, to) {
  const speed = (rows) => (rows.at(-1).phase - rows[0].phase) / (rows.at(-1).t_s - rows[0].t_s);
  return speed(of) / speed(to);
}
