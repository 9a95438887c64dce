// The descent line of the dive clock: the marks of the card, and the mark where the diver may be.
import { svg } from "../ui/dom.js";
import { metres } from "../ui/words.js";
import { spread } from "./axes.js";

const WIDE = 178, HIGH = 250, TOP = 16, X = 32, GAP = 22;
const WORDS = { free_fall: "free fall", mouthfill: "mouthfill", alarm: "alarm" };

/** The drawing and how to move its mark: {element, move(depth_m)}; without a target the line has no depths. */
export function clockLine({ depth_m, down, meet_m }) {
  const y = (at_m) => TOP + (at_m / depth_m) * HIGH;
  const mark = svg("path", { class: "diver", d: "M-11 -9L7 0L-11 9Z" });
  const element = svg("svg", { class: "clock-drawing", viewBox: `0 0 ${WIDE} ${TOP + HIGH + 16}`, role: "img",
    "aria-label": `The descent line to ${metres(depth_m)}. The mark on it is an estimate from the card.` },
    svg("path", { class: "line", d: `M${X} ${TOP}V${y(depth_m)}M${X - 13} ${TOP}h26` }),
    svg("path", { class: "plate", d: `M${X - 13} ${y(depth_m)}h26` }),
    ticks(depth_m, y), labels(depth_m, down, meet_m, y), mark);
  const move = (at_m) => mark.setAttribute("transform", `translate(${X - 12} ${y(at_m)})`);
  move(0);
  return { element, move };
}

function ticks(depth_m, y) {
  return Array.from({ length: Math.floor(depth_m / 5) }, (_, index) => (index + 1) * 5)
    .map((at_m) => svg("path", { class: "line", d: `M${X} ${y(at_m)}h${at_m % 10 ? 5 : 9}` }));
}

function labels(depth_m, down, meet_m, y) {
  const all = [...down.map(([kind, at_m]) => ({ at_m, says: WORDS[kind] ?? kind })), { at_m: depth_m, says: "turn" },
    { at_m: meet_m, says: "meet" }].sort((one, other) => one.at_m - other.at_m);
  const heights = spread(all.map(({ at_m }) => y(at_m)), GAP, TOP + HIGH);
  return all.map(({ at_m, says }, index) => [
    svg("path", { class: "leader", d: `M${X + 10} ${y(at_m)}L${X + 16} ${heights[index]}` }),
    svg("text", { x: X + 19, y: heights[index] + 5 }, `${metres(at_m)} ${says}`)]);
}
