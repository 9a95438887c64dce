// A stretch of the descent line for drawings that do not begin at the surface, and the marks that fit its days.
import { svg } from "../ui/dom.js";
import { AXIS, spread } from "./axes.js";

const LINE = 31; // where the line stands: numbers at its left, ticks at its right
const STEP = 5; // metres from one tick to the next
const FINE = 30; // metres of a stretch in which each tick has its number
const LABEL = 17; // the height of one line of words

export const TOP = 34, FOOT = 22;

/**
 * A stretch that holds these depths, `high` pixels tall. `y(depth_m)` in pixels, `bottom` where it ends.
 * @param {number[]} depths @param {number} high
 */
export function depthStretch(depths, high) {
  const from = Math.max(0, Math.floor((Math.min(...depths) - 1) / STEP) * STEP);
  const to = Math.ceil((Math.max(...depths) + 1) / STEP) * STEP;
  const y = (depth_m) => TOP + ((depth_m - from) / (to - from)) * high;
  return { from, to, y, bottom: TOP + high };
}

/** The line with its ticks; where it does not begin at the surface its top is broken. */
export function stretchAxis({ from, to, y, bottom }) {
  const every = to - from <= FINE ? STEP : 2 * STEP;
  const ticks = Array.from({ length: (to - from) / STEP + 1 }, (_, at) => from + at * STEP);
  return [
    svg("path", { class: from > 0 ? "line cut" : "line", d: `M${LINE} ${TOP - 14}V${TOP}` }),
    svg("path", { class: "line", d: `M${LINE} ${TOP}V${bottom + 6}` }),
    ticks.map((depth_m) => [
      svg("path", { class: "line", d: `M${LINE} ${y(depth_m)}h${depth_m % (2 * STEP) === 0 ? 9 : 5}` }),
      depth_m % every === 0 && svg("text", { x: LINE - 5, y: y(depth_m) + 5, "text-anchor": "end" }, `${depth_m}`),
    ]),
  ];
}

/**
 * Words at the right, each beside its depth and apart from the others.
 * @param {{ y: number, words: string }[]} wanted @param {number} x @param {number} bottom
 */
export function wordsBeside(wanted, x, bottom) {
  const sorted = [...wanted].sort((one, other) => one.y - other.y);
  const heights = sorted.length > 0 ? spread(sorted.map(({ y }) => y), LABEL, bottom) : [];
  return sorted.map(({ y, words }, at) => [
    svg("path", { class: "leader", d: `M${x} ${y}L${x + 9} ${heights[at]}` }),
    svg("text", { x: x + 12, y: heights[at] + 5 }, words),
  ]);
}

/** A whole drawing. @param {number} wide @param {number} bottom @param {string} says @param {...any} children */
export function picture(wide, bottom, says, ...children) {
  const high = bottom + FOOT;
  return svg("svg", { class: "outlook-drawing", viewBox: `0 0 ${wide} ${high}`, width: wide, height: high, role: "img",
    "aria-label": says }, children);
}

/** What belongs to days stands at the right of the line. @param {...any} children */
export const besideLine = (...children) => svg("g", { transform: `translate(${AXIS} 0)` }, children);
