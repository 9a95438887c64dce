// The stick figure over a frame: the marked points, the limbs between them, and one angle with its degrees.
import { svg } from "../ui/dom.js";

/** @type {[string, string][]} */
const LINES = [["shoulder", "hip"], ["hip", "knee"], ["knee", "ankle"], ["ankle", "fin"], ["shoulder", "hand_top"],
  ["shoulder", "hand_low"]];
/** @type {[string, string]} */
const DIVE_LINE = ["line_top", "line_low"];

/**
 * The parts of the drawing, in pixels of a frame this wide and high; `chosen` names the point that is being set.
 * @param {Points} points @param {{ width: number, height: number }} size
 * @param {{ chosen?: string, mirrored?: boolean, angle?: { at: string, says: string } | null }} more
 */
export function stickFigure(points, { width, height }, { chosen, mirrored, angle } = {}) {
  const unit = Math.max(width, height) / 100;
  const line = (/** @type {[string, string]} */ [from, to], name) => points[from] && points[to] && svg("path",
    { class: name, d: `M${points[from].x} ${points[from].y}L${points[to].x} ${points[to].y}` });
  return [
    line(DIVE_LINE, "stick-line"),
    LINES.map((pair) => [line(pair, "stick-edge"), line(pair, "stick")]),
    Object.entries(points).map(([name, at]) => dot(at, name === chosen ? 2.6 * unit : 1.4 * unit, name === chosen)),
    angle && points[angle.at] && words(points[angle.at], angle.says, { unit, width, mirrored }),
  ];
}

function dot({ x, y }, radius, chosen) {
  if (!chosen) return svg("circle", { class: "stick-point", cx: x, cy: y, r: radius });
  // the place itself stays free to be seen
  return [svg("circle", { class: "stick-chosen-edge", cx: x, cy: y, r: radius }),
    svg("circle", { class: "stick-chosen", cx: x, cy: y, r: radius }),
    svg("circle", { class: "stick-chosen-at", cx: x, cy: y, r: radius / 8 })];
}

// A mirrored picture must not mirror its numbers.
function words({ x, y }, says, { unit, width, mirrored }) {
  const size = Math.max(4 * unit, 12);
  const left = mirrored ? x < width / 2 : x > width / 2;
  const place = { "font-size": size, "text-anchor": left === Boolean(mirrored) ? "start" : "end", y: size / 3,
    x: left === Boolean(mirrored) ? 3 * unit : -3 * unit };
  const at = `translate(${x} ${y})${mirrored ? " scale(-1 1)" : ""}`;
  return svg("g", { transform: at }, svg("text", { class: "stick-words-edge", ...place }, says),
    svg("text", { class: "stick-words", ...place }, says));
}
