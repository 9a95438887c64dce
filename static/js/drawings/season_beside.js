// The deepest clean dive so far, day by day from the first day: this season as a thick line, each earlier one as a
// line of its own kind with its letter at the end.
import { svg } from "../ui/dom.js";
import { AXIS } from "./axes.js";
import { besideLine, depthStretch, picture, stretchAxis } from "./depth_grid.js";

const HIGH = 230;
const END = 32; // room for the end of a line and its letter
const RUN = 10; // so far a line goes on after its last dive
const LEAST_LABEL = 62;
const EVERY = [1, 7, 14, 28, 56, 112, 364]; // days

/**
 * @param {{ seasons: { letter: string, marks: { day: number, depth_m: number }[] }[], wide: number, says: string }} of
 */
export function seasonBeside({ seasons, wide, says }) {
  const marks = seasons.flatMap((one) => one.marks);
  const days = Math.max(1, ...marks.map(({ day }) => day));
  const room = wide - AXIS - END;
  const x = (day) => 4 + (day / days) * (room - 4);
  const grid = depthStretch(marks.map(({ depth_m }) => depth_m), HIGH);
  return picture(wide, grid.bottom, says,
    stretchAxis(grid),
    besideLine(dayAxis(days, x, room, grid.y(grid.from)),
      seasons.map((one, at) => line(one, at, x, grid.y))));
}

// A step goes down on the day of a deeper dive.
function line({ letter, marks }, at, x, y) {
  const steps = deepestSoFar(marks);
  if (steps.length === 0) return null;
  const [first, ...later] = steps;
  const path = later.map(({ day, depth_m }) => `H${x(day)}V${y(depth_m)}`).join("");
  const end = { x: x(Math.max(...marks.map(({ day }) => day))) + RUN, y: y(steps.at(-1).depth_m) };
  return [
    svg("path", { class: `beside beside-${at}`, d: `M${x(first.day)} ${y(first.depth_m)}${path}H${end.x}` }),
    svg("circle", { class: "beside-begin", cx: x(first.day), cy: y(first.depth_m), r: 3.5 }),
    svg("text", { class: "beside-letter", x: end.x + 6, y: end.y + 5 }, letter),
  ];
}

/** @param {{ day: number, depth_m: number }[]} marks */
function deepestSoFar(marks) {
  const steps = [];
  for (const one of [...marks].sort((a, b) => a.day - b.day))
    if (steps.length === 0 || one.depth_m > steps.at(-1).depth_m) steps.push(one);
  return steps;
}

function dayAxis(days, x, room, at) {
  const every = EVERY.find((some) => x(some) - x(0) >= LEAST_LABEL) ?? EVERY.at(-1);
  const shown = Array.from({ length: Math.floor(days / every) + 1 }, (_, nth) => nth * every);
  return shown.filter((day) => day === 0 || x(day) + LEAST_LABEL - 16 <= room + END).map((day) => [
    svg("path", { class: "surface-tick", d: `M${x(day)} ${at}v-10` }),
    svg("text", { x: Math.max(0, x(day) - 5), y: at - 16 }, `day ${day + 1}`),
  ]);
}
