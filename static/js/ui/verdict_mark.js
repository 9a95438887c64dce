// The shape of a verdict, the same in lists, panels and on the ladder. It differs by form, and its word stands beside
// it.
import { svg } from "./dom.js";

const SHAPES = {
  planned: () => svg("circle", { r: 5, class: "mark-open" }),
  clean: () => svg("circle", { r: 5.5, class: "mark-full" }),
  hard: () => [
    svg("circle", { r: 5, class: "mark-open" }),
    svg("path", { d: "M-5 0A5 5 0 0 0 5 0Z", class: "mark-full" }),
  ],
  turned: () => svg("path", { d: "M-5.5 4.5H5.5L0 -5.5Z", class: "mark-open" }),
  over: () => svg("path", { d: "M-5 -5L5 5M5 -5L-5 5", class: "mark-cross" }),
  goal: () => svg("path", { d: "M0 -6L6 0L0 6L-6 0Z", class: "mark-open" }),
};

function shapeOf(verdict) {
  return SHAPES[verdict] ? verdict : "over";
}

/** The shape around the origin, for a drawing. */
export function shape(verdict) {
  return SHAPES[shapeOf(verdict)]();
}

/** The shape as a small picture beside a word. */
export function mark(verdict) {
  return svg("svg", { class: "mark", viewBox: "-8 -8 16 16", "aria-hidden": "true" }, shape(verdict));
}
