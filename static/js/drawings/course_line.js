// Planned and done by date, with the goals, the best, and the band of the forecast: by shape, hatching and outline.
import { svg } from "../ui/dom.js";
import { shape } from "../ui/verdict_mark.js";
import { metres } from "../ui/words.js";
import { AXIS, dateAxis, dateScale } from "./axes.js";
import { besideLine, depthStretch, picture, stretchAxis, wordsBeside } from "./depth_grid.js";

const HIGH = 290;
const WORDS = 90; // the width of the words at the right
const WHOLE_STEP = 13; // a day so wide that the shapes of two days in a row do not touch
const LEAST_SHAPE = 0.6;

/**
 * @param {{ id: string, of: Progress, band: BandDay[], today: string, wide: number, says: string,
 *   goals: { words: string, depth_m: number }[] }} what
 */
export function courseLine({ id, of, band, today, wide, says, goals }) {
  const best = of.best_m === null ? [] : [{ words: "best", depth_m: of.best_m }];
  const lines = [...goals, ...best];
  const marks = [...of.done, ...of.planned.map((one) => ({ ...one, verdict: "planned" }))];
  const grid = depthStretch([...marks, ...lines].map(({ depth_m }) => depth_m).concat(
    band.flatMap(({ low_m, high_m }) => [low_m, high_m])), HIGH);
  const dates = [of.first_day, of.last_day, ...marks.map(({ date }) => date), ...band.map(({ date }) => date)];
  const scale = dateScale(dates, wide - AXIS - WORDS, 0, 1);
  return picture(wide, grid.bottom, says,
    hatching(id),
    stretchAxis(grid),
    besideLine(
      lines.map((one) => svg("path", { class: best.includes(one) ? "best" : "goal",
        d: `M0 ${grid.y(one.depth_m)}H${scale.width}` })),
      band.length > 0 && bandOf(id, band, scale, grid),
      now(today, dates, scale, grid),
      dateAxis(scale, grid.y(grid.from)),
      marks.map((mark) => drawn(mark, scale, grid))),
    wordsBeside(lines.map(({ words, depth_m }) => ({ y: grid.y(depth_m), words: `${words} ${metres(depth_m)}` })),
      AXIS + scale.width, grid.bottom));
}

/** Slanted lines: who sees no colours sees the band too. @param {string} id */
export function hatching(id) {
  return svg("defs", null, svg("pattern", { id, width: 7, height: 7, patternUnits: "userSpaceOnUse",
    patternTransform: "rotate(45)" }, svg("path", { class: "hatch", d: "M0 0V7" })));
}

/** @param {string} id @param {BandDay[]} band */
function bandOf(id, band, { x, step }, { y }) {
  const days = band.length > 1 ? band.map((one) => ({ ...one, x: x(one.date) }))
    : [-1, 1].map((side) => ({ ...band[0], x: x(band[0].date) + side * step }));
  const path = (name, some) => some.map((one) => `${one.x} ${y(one[name])}`).join("L");
  return [
    svg("path", { class: "band", fill: `url(#${id})`,
      d: `M${path("low_m", days)}L${path("high_m", [...days].reverse())}Z` }),
    svg("path", { class: "band-middle", d: `M${path("mid_m", days)}` }),
  ];
}

function now(today, dates, { x }, { from, y, bottom }) {
  const [first, last] = [dates.reduce((a, b) => (a < b ? a : b)), dates.reduce((a, b) => (a > b ? a : b))];
  if (today < first || today > last) return null;
  return [svg("path", { class: "now", d: `M${x(today)} ${y(from)}V${bottom}` }),
    svg("text", { x: x(today), y: bottom + 16, "text-anchor": x(today) < 20 ? "start" : "middle" }, "today")];
}

function drawn({ date, depth_m, verdict }, { x, step }, { y }) {
  const size = Math.max(LEAST_SHAPE, Math.min(1, step / WHOLE_STEP));
  return svg("g", { transform: `translate(${x(date)} ${y(depth_m)}) scale(${size})` }, shape(verdict));
}
