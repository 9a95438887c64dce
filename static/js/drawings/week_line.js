// The deepest clean dives of a season week by week, down the line, with the goals as dashed lines.
import { svg } from "../ui/dom.js";
import { metres } from "../ui/words.js";

const WIDE = 340, HIGH = 150, LEFT = 12, RIGHT = 56, TOP = 14, BOTTOM = 14;

/** @param {{ weeks: { date: string, depth_m: number | null }[], goals: number[], says: string }} of */
export function weekLine({ weeks, goals, says }) {
  const depths = [...goals, ...weeks.map(({ depth_m }) => depth_m)].filter((depth) => depth !== null);
  const [least, most] = [Math.min(...depths), Math.max(...depths)];
  const x = (at) => LEFT + (at / Math.max(1, weeks.length - 1)) * (WIDE - LEFT - RIGHT);
  const y = (depth) => TOP + ((depth - least) / (most - least || 1)) * (HIGH - TOP - BOTTOM);
  const dived = weeks.map(({ depth_m }, at) => ({ at, depth_m })).filter(({ depth_m }) => depth_m !== null);
  const path = dived.map(({ at, depth_m }, nth) => `${nth === 0 ? "M" : "L"}${x(at)} ${y(depth_m)}`).join("");
  return svg("svg", { class: "week-line", viewBox: `0 0 ${WIDE} ${HIGH}`, role: "img", "aria-label": says },
    goals.map((goal) => [
      svg("path", { class: "goal", d: `M${LEFT} ${y(goal)}H${WIDE - RIGHT}` }),
      svg("text", { x: WIDE - RIGHT + 6, y: y(goal) + 4 }, metres(goal)),
    ]),
    path && svg("path", { class: "dived", d: path }),
    dived.map(({ at, depth_m }) => svg("circle", { cx: x(at), cy: y(depth_m), r: 4 })));
}
