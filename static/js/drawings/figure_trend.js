// One figure over the season: each clip's value with its ±, in the order of the days; the open clip's is filled.
import { svg } from "../ui/dom.js";
import { dayMonth } from "../ui/words.js";
import { dayNumber } from "./axes.js";

const WIDE = 340, HIGH = 150, LEFT = 12, TOP = 22, BOTTOM = 24;

/**
 * @param {{ values: { date: string, value: number, error: number, now: boolean, words: string }[], says: string }} of
 */
export function figureTrend({ values, says }) {
  const days = values.map(({ date }) => dayNumber(date));
  const [first, last] = [Math.min(...days), Math.max(...days)];
  const ends = values.flatMap(({ value, error }) => [value - error, value + error]);
  const [least, most] = [Math.min(...ends), Math.max(...ends)];
  const x = (at) => LEFT + (last > first ? (days[at] - first) / (last - first)
    : values.length > 1 ? at / (values.length - 1) : 0.5) * (WIDE - 2 * LEFT);
  const y = (value) => TOP + ((most - value) / (most - least || 1)) * (HIGH - TOP - BOTTOM);
  const anchor = (at) => (x(at) < WIDE / 3 ? "start" : x(at) > (WIDE * 2) / 3 ? "end" : "middle");
  const named = [0, values.length - 1].filter((at, nth, all) => all.indexOf(at) === nth);
  return svg("svg", { class: "clip-drawing", viewBox: `0 0 ${WIDE} ${HIGH}`, role: "img", "aria-label": says },
    svg("path", { class: "axis", d: `M${LEFT} ${HIGH - BOTTOM}H${WIDE - LEFT}` }),
    values.map(({ value, error, now }, at) => [
      svg("path", { class: "spread", d: `M${x(at)} ${y(value + error)}V${y(value - error)}` }),
      svg("circle", { class: now ? "this" : "earlier", cx: x(at), cy: y(value), r: now ? 7 : 5.5 }),
    ]),
    named.map((at) => [
      svg("text", { x: x(at), y: HIGH - 6, "text-anchor": anchor(at) }, dayMonth(values[at].date)),
      svg("text", { x: x(at), y: 13, "text-anchor": anchor(at) }, values[at].words),
    ]));
}
