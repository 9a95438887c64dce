// The figures of one clip: whole degrees with their ±, beside the diver's own earlier ones and published values.
import { kickAngle } from "../drawings/kick_angle.js";
import { figureTrend } from "../drawings/figure_trend.js";
import { FIGURES, TECHNIQUE } from "./clip_words.js";
import { withError } from "./figures.js";
import { h } from "../ui/dom.js";
import { count, dayMonth } from "../ui/words.js";

const DEGREES = ["deg", "degrees", "°"];
const UNITS = { hz: "Hz", Hz: "Hz", m: "m", "m/s": "m/s" };
const BINS = 20; // of one kick

/**
 * A figure as it is read: 48° ± 3°, 0.80 ± 0.02 Hz.
 * @param {{ value: number, error?: number, unit?: string }} figure
 */
export function figureWords({ value, error, unit }) {
  return withError(value, error, DEGREES.includes(unit) ? "°" : UNITS[unit]);
}

/** The figures that can be shown: without the times of the frames, none that needs time. @param {Figure[]} figures */
export function shownFigures(figures, timed) {
  return figures.filter(({ code, value }) => FIGURES[code] && Number.isFinite(value)
    && (timed || !FIGURES[code].timed));
}

/** The list. @param {Figure[]} figures @param {{ date: string, earlier: any[] }} about */
export function figureList(figures, { date, earlier }) {
  return h("ul", { class: "figures", id: "figures" }, figures.map((figure) => entry(figure, date, earlier)));
}

function entry(figure, date, earlier) {
  const { says, about, published: all = [] } = FIGURES[figure.code];
  const published = all.filter(({ unit = figure.unit }) => unit === figure.unit); // metres beside metres only
  const before = earlier.map(({ fields }) => ({ date: fields.date, ...fields.figures?.[figure.code] }))
    .filter(({ value }) => Number.isFinite(value)).map((one) => ({ ...one, unit: figure.unit, now: false }));
  return h("li", { id: `figure-${figure.code}` },
    h("p", { class: "figure-head" }, h("span", null, says),
      h("span", { class: "figure-value number" }, figureWords(figure))),
    h("p", { class: "soft small" }, about),
    before.length > 0 && h("p", { class: "small" },
      `Yours before, on ${dayMonth(before.at(-1).date)}: ${figureWords(before.at(-1))}.`),
    (before.length > 0 || published.length > 0) && h("details", { id: `more-${figure.code}` },
      h("summary", null, before.length > 0 ? "Over the season, and published" : "Published"),
      before.length > 0 && trend([...before, { ...figure, date, now: true }], says),
      published.map((one) => h("p", { class: "small" },
        `${figureWords({ unit: figure.unit, ...one })}: ${one.who}. Source: ${one.source}.`))));
}

function trend(values, says) {
  const words = values.map((one) => ({ ...one, error: one.error ?? 0, words: figureWords(one) }));
  const list = words.map(({ date, words: read }) => `${dayMonth(date)} ${read}`).join(", ");
  return figureTrend({ values: words, says: `${says} over the season: ${list}` });
}

/**
 * The mean angle in each part of one kick or pull, null where none was seen; null when the tracks hold no whole one.
 * @param {Clip} clip @returns {(number | null)[] | null}
 */
export function anglesOf(clip, core) {
  const found = means(clip, TECHNIQUE.style[clip.style].angle, core);
  return found.filter((mean) => mean !== null).length < BINS / 2 ? null : found;
}

/** The same as the log keeps it: whole degrees by the part. @param {(number | null)[] | null} angles */
export function asKept(angles) {
  return angles && Object.fromEntries(angles.map((mean, at) => [at, mean]).filter(([, mean]) => mean !== null)
    .map(([at, mean]) => [at, Math.round(mean)]));
}

/**
 * The angle through one kick, before the band of the diver's own earlier ones: those in the log, and those of clips on
 * this phone that were not saved.
 * @param {Clip} clip @param {(number | null)[] | null} angles
 * @param {{ earlier: any[], clips: Clip[], core: any }} than
 */
export function angleDrawing(clip, angles, { earlier, clips, core }) {
  if (!angles) return null;
  const logged = earlier.filter(({ fields }) => fields.by_phase);
  const saved = new Set(logged.map(({ record }) => record));
  const others = [...logged.map(({ fields }) => angles.map((_, at) => fields.by_phase[at] ?? null)),
    ...clips.filter(({ measured }) => !saved.has(measured)).map((one) => anglesOf(one, core)).filter(Boolean)];
  const whole = TECHNIQUE.whole[clip.style];
  const says = `${TECHNIQUE.style[clip.style].angle_says} angle through ${whole}`;
  const curve = angles.map((mean, at) => [phaseOf(at), mean]).filter(([, mean]) => mean !== null);
  return h("figure", { id: "kick-angle" },
    kickAngle(/** @type {any} */ ({ curve, band: bandOf(others), says, whole })),
    h("figcaption", { class: "small" }, `${says}; 180° is straight. `,
      others.length === 0 ? "No earlier clip to compare with yet."
        : `The band is your own before: ${count(others.length, "clip")}.`));
}

function bandOf(others) {
  return Array.from({ length: BINS }, (_, at) => others.map((angles) => angles[at]).filter((mean) => mean !== null))
    .map((those, at) => [phaseOf(at), Math.min(...those), Math.max(...those)])
    .filter(([, least]) => Number.isFinite(least));
}

const phaseOf = (at) => (at + 0.5) / BINS;

function means({ tracks, style }, [from, at, to], { phases, includedAngle }) {
  const bins = Array.from({ length: BINS }, () => []);
  const phaseAt = new Map((phases(tracks, style) ?? []).map(({ t_s, phase }) => [t_s, phase]));
  for (const { t_s, points } of tracks) {
    const phase = phaseAt.get(t_s);
    if (phase === undefined || !points[from] || !points[at] || !points[to]) continue;
    bins[Math.min(BINS - 1, Math.floor(phase * BINS))].push(includedAngle(points[from], points[at], points[to]));
  }
  return bins.map((bin) => (bin.length ? bin.reduce((sum, one) => sum + one, 0) / bin.length : null));
}
