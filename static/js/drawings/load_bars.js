// The load of each week as a bar. A week in which a day's effort is missing is hatched: its bar is too short.
import { svg } from "../ui/dom.js";
import { dayMonth } from "../ui/words.js";
import { hatching } from "./course_line.js";

const HIGH = 140, TOP = 22, FOOT = 22;
const LEAST_LABEL = 62;
const MOST_BAR = 56;

/** @param {{ weeks: LoadWeek[], wide: number, says: string }} of */
export function loadBars({ weeks, wide, says }) {
  const most = Math.max(1, ...weeks.map(({ load }) => load));
  const step = Math.min(MOST_BAR * 1.4, (wide - 8) / weeks.length);
  const bar = Math.min(MOST_BAR, step * 0.72);
  const every = Math.ceil(LEAST_LABEL / step);
  const bottom = TOP + HIGH;
  return svg("svg", { class: "outlook-drawing", viewBox: `0 0 ${wide} ${bottom + FOOT}`, width: wide,
    height: bottom + FOOT, role: "img", "aria-label": says },
    hatching("missing-load"),
    weeks.map(({ load, missing, first_day }, at) => {
      const x = 4 + at * step, high = (load / most) * HIGH;
      return [
        svg("rect", { class: missing ? "bar-week" : "bar-week bar-whole", x, y: bottom - high, width: bar, height: high,
          fill: missing ? "url(#missing-load)" : null }),
        at % every === 0 && svg("text", { x, y: bottom + 16 }, dayMonth(first_day)),
        (load === most || at === weeks.length - 1) && svg("text", { x: x + bar / 2, y: bottom - high - 6,
          "text-anchor": "middle" }, String(Math.round(load))),
      ];
    }),
    svg("path", { class: "line", d: `M0 ${bottom}H${wide}` }));
}
