// Axes that drawings share: depths down the descent line, dates along the surface, labels that keep their distance.
import { svg } from "../ui/dom.js";
import { dayMonth } from "../ui/words.js";

export const AXIS = 40; // the width of the depth axis, in pixels
const LINE = 31; // where its line stands: numbers at its left, ticks at its right
const DAY_MS = 86_400_000;
const EDGE = 5; // room for a shape on the first and on the last day
const LEAST_LABEL = 62; // from one date written to the next, in pixels
const EVERY = [1, 2, 7, 14, 28, 56, 112]; // days

/** A date as a whole number of days, to be counted with. */
export function dayNumber(date) {
  return Date.parse(date) / DAY_MS; // a date without a time is read as UTC: no hour is lost in spring
}

function dateOf(number) {
  return new Date(number * DAY_MS).toISOString().slice(0, 10);
}

/**
 * The descent line from the surface to `floor_m`, with a tick each 5 m and a number each 10 m; `y(depth_m)` in pixels.
 */
export function depthAxis(floor_m, y) {
  const depths = Array.from({ length: Math.floor(floor_m / 5) + 1 }, (_, at) => at * 5);
  return [
    svg("path", { class: "line", d: `M${LINE} ${y(0) - 12}V${y(floor_m) + 10}` }),
    depths.map((depth_m) => {
      const whole = depth_m % 10 === 0;
      return [
        svg("path", { class: "line", d: `M${LINE} ${y(depth_m)}h${whole ? 9 : 5}` }),
        whole && svg("text", { x: LINE - 5, y: y(depth_m) + 5, "text-anchor": "end" }, `${depth_m}`),
      ];
    }),
  ];
}

/**
 * Days from the first to the last of these dates across `wide` pixels, each as wide as the next. Where a day would be
 * narrower than `least`, they take more than that: `moved` pixels a day.
 */
export function dateScale(dates, wide, least, moved) {
  const numbers = dates.map(dayNumber);
  const first = Math.min(...numbers);
  const days = Math.max(...numbers) - first + 1;
  const fitting = (wide - 2 * EDGE) / days;
  const step = fitting < least ? moved : fitting;
  const start = (number) => EDGE + (number - first) * step; // of a day
  return { first, days, step, width: 2 * EDGE + step * days, start, x: (date) => start(dayNumber(date) + 0.5) };
}

/** Dates above the surface at `at` pixels: the first one, then each second, seventh … day, as many as can be read. */
export function dateAxis({ first, days, step, width, x }, at) {
  const every = EVERY.find((some) => some * step >= LEAST_LABEL) ?? EVERY.at(-1);
  const dates = Array.from({ length: Math.ceil(days / every) }, (_, one) => dateOf(first + one * every));
  return dates.filter((date) => x(date) + LEAST_LABEL - 8 <= width || date === dates[0]).map((date) => [
    svg("path", { class: "surface-tick", d: `M${x(date)} ${at}v-10` }),
    svg("text", { x: Math.max(0, x(date) - 5), y: at - 16 }, dayMonth(date)),
  ]);
}

/**
 * The heights of labels that want to stand at `wanted`, in order: each `gap` below the one above, none below `lowest`.
 */
export function spread(wanted, gap, lowest) {
  const found = [];
  for (const at of wanted) found.push(Math.max(at, (found.at(-1) ?? -Infinity) + gap));
  for (let at = found.length - 1, most = Math.max(lowest, wanted.at(-1)); at >= 0; at -= 1, most -= gap)
    found[at] = Math.min(found[at], most);
  return found;
}
