// An angle through one kick or pull, from its first phase to its last, before the band of the diver's earlier ones.
import { svg } from "../ui/dom.js";

const WIDE = 340, HIGH = 170, LEFT = 44, TOP = 10, BOTTOM = 24;
const STEP = 30; // degrees between lines

/**
 * @param {{ curve: [number, number][], band: [number, number, number][], says: string, whole: string }} what phases
 *   from 0 to 1 with degrees; the band has its least and its most
 */
export function kickAngle({ curve, band, says, whole }) {
  const all = [...curve.map(([, value]) => value), ...band.flatMap(([, least, most]) => [least, most])];
  const least = Math.floor(Math.min(...all) / STEP) * STEP;
  const most = Math.max(least + STEP, Math.ceil(Math.max(...all) / STEP) * STEP);
  const x = (phase) => LEFT + phase * (WIDE - LEFT - 4);
  const y = (value) => TOP + ((most - value) / (most - least)) * (HIGH - TOP - BOTTOM);
  const path = (points) => points.map(([phase, value], at) => `${at ? "L" : "M"}${x(phase)} ${y(value)}`).join("");
  const upper = band.map(([phase, , high]) => [phase, high]);
  const lower = band.map(([phase, low]) => [phase, low]).reverse();
  const lines = Array.from({ length: Math.round((most - least) / STEP) + 1 }, (_, at) => least + at * STEP);
  return svg("svg", { class: "clip-drawing", viewBox: `0 0 ${WIDE} ${HIGH}`, role: "img", "aria-label": says },
    band.length > 1 && svg("path", { class: "band", d: `${path([...upper, ...lower])}Z` }),
    lines.map((value) => [svg("path", { class: "axis", d: `M${LEFT - 6} ${y(value)}h6` }),
      svg("text", { x: LEFT - 9, y: y(value) + 4, "text-anchor": "end" }, `${value}°`)]),
    svg("path", { class: "axis", d: `M${LEFT} ${TOP}V${HIGH - BOTTOM}H${WIDE - 4}` }),
    svg("path", { class: "curve", d: path(curve) }),
    svg("text", { x: LEFT, y: HIGH - 6 }, "begins"),
    svg("text", { x: WIDE - 4, y: HIGH - 6, "text-anchor": "end" }, whole));
}
