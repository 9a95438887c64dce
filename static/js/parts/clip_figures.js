// The figures of one clip: whole degrees with their ±, beside the diver's own earlier ones and published values.
import { kickAngle } from "../drawings/kick_angle.js";
import { figureTrend } from "../drawings/figure_trend.js";
import { FIGURES, TECHNIQUE } from "./clip_words.js";
import { withError } from "./figures.js";
import { h } from "../ui/dom.js";
import { dayMonth } from "../ui/words.js";

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

/** The angle through one kick; null when the tracks hold no whole kick. @param {Clip} clip @param {Clip[]} before */
export function angleDrawing(clip, before, core) {
  const { angle, angle_says } = TECHNIQUE.style[clip.style];
  const curve = means(clip.tracks, angle, core);
  if (curve.filter((mean) => mean !== null).length < BINS / 2) return null;
  const earlier = before.map(({ tracks }) => means(tracks, angle, core));
  const band = curve.map((_, at) => earlier.map((means_) => means_[at]).filter((mean) => mean !== null))
    .map((those, at) => [phaseOf(at), Math.min(...those), Math.max(...those)])
    .filter(([, least]) => Number.isFinite(least));
  const drawn = curve.map((mean, at) => [phaseOf(at), mean]).filter(([, mean]) => mean !== null);
  const says = `${angle_says} angle through one kick`;
  return h("figure", { id: "kick-angle" },
    kickAngle(/** @type {any} */ ({ curve: drawn, band, says })),
    h("figcaption", { class: "small" }, `${says}; 180° is straight. `,
      band.length > 1 ? "The band is your own earlier clips on this phone." : "No earlier clip to compare with yet."));
}

const phaseOf = (at) => (at + 0.5) / BINS;

// The mean angle in each part of a kick, null where none was seen.
function means(tracks, [from, at, to], { phases, includedAngle }) {
  const bins = Array.from({ length: BINS }, () => []);
  const phaseAt = new Map((phases(tracks) ?? []).map(({ t_s, phase }) => [t_s, phase]));
  for (const { t_s, points } of tracks) {
    const phase = phaseAt.get(t_s);
    if (phase === undefined || !points[from] || !points[at] || !points[to]) continue;
    bins[Math.min(BINS - 1, Math.floor(phase * BINS))].push(includedAngle(points[from], points[at], points[to]));
  }
  return bins.map((bin) => (bin.length ? bin.reduce((sum, one) => sum + one, 0) / bin.length : null));
}
