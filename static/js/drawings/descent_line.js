// The ladder drawn on the descent line: depth goes down, deep days go across; done, planned and goals by shape and
// word.
import { svg } from "../ui/dom.js";
import { shape } from "../ui/verdict_mark.js";
import { GOALS, dayMonth, metres } from "../ui/words.js";

const LEFT = 46;
const TOP = 34;
const HEIGHT = 400;
const LEAST_STEP = 13; // between two days: narrower, and their marks would touch
const WIDEST_STEP = 36;
const LEAST_ROOM = 240;

/**
 * Return the drawing of one discipline: its deep dives done, those planned from today on, its goals; `wide` in pixels.
 * @param {Plan} plan
 * @param {string} discipline
 * @param {string} today
 * @param {number} wide
 */
export function descentLine(plan, discipline, today, wide) {
  const room = Math.max(LEAST_ROOM, wide - LEFT - 14);
  const marks = plan.days.flatMap((day) => marksOf(day, discipline, today));
  const goals = Object.entries(plan.disciplines[discipline].goals);
  const deepest = Math.max(1, ...marks.map((mark) => mark.depth_m), ...goals.map(([, goal]) => goal.depth_m));
  const floor = Math.ceil((deepest + 3) / 5) * 5; // room below for the deepest goal's word
  const dates = [...new Set(marks.map((mark) => mark.date))];
  const step = Math.max(LEAST_STEP, Math.min(WIDEST_STEP, room / (dates.length + 1)));
  const width = LEFT + Math.max(room, step * (dates.length + 1)) + 14;
  const y = (depth_m) => TOP + (depth_m / floor) * HEIGHT;
  const x = (date) => LEFT + step * (dates.indexOf(date) + 1);
  return svg("svg",
    { class: "ladder", viewBox: `0 0 ${width} ${TOP + HEIGHT + 20}`, width, role: "img",
      "aria-label": spoken(discipline, marks, goals) },
    svg("path", { class: "line", d: `M${LEFT} ${TOP - 12}V${TOP + HEIGHT + 10}` }),
    ticks(floor, y),
    goals.map(([name, goal]) => goalLine(name, goal, y(goal.depth_m), width)),
    monthMarks(dates, x),
    marks.map((mark) => svg("g", { transform: `translate(${x(mark.date)} ${y(mark.depth_m)})` }, shape(mark.shape))));
}

/** @param {Day} day @param {string} discipline @param {string} today */
function marksOf(day, discipline, today) {
  const deep = (dive) => dive.role === "deep" && dive.discipline === discipline;
  const done = day.done.filter(deep).map((dive) => ({ date: day.date, depth_m: dive.reached_m, shape: dive.verdict }));
  const planned = day.dives.filter((dive) => deep(dive) && dive.done === null);
  if (done.length > 0 || day.over || day.date < today) return done;
  return planned.map((dive) => ({ date: day.date, depth_m: dive.target_m, shape: "planned" }));
}

function ticks(floor, y) {
  const depths = Array.from({ length: Math.floor(floor / 5) + 1 }, (_, at) => at * 5);
  return depths.map((depth_m) => {
    const whole = depth_m % 10 === 0;
    return [
      svg("path", { class: "line", d: `M${LEFT} ${y(depth_m)}h${whole ? 9 : 5}` }),
      whole && svg("text", { x: LEFT - 7, y: y(depth_m) + 5, "text-anchor": "end" }, `${depth_m}`),
    ];
  });
}

/** @param {string} name @param {Goal} goal @param {number} at @param {number} width */
function goalLine(name, goal, at, width) {
  return [
    svg("path", { class: "goal", d: `M${LEFT} ${at}H${width - 4}` }),
    svg("text", { class: "goal-word", x: LEFT + 14, y: at + 15 }, `${GOALS[name] ?? name} ${metres(goal.depth_m)}`),
  ];
}

// The first day, and then each one that stands far enough from the last date written.
function monthMarks(dates, x) {
  let last = -Infinity;
  return dates.map((date) => {
    if (x(date) - last < 62) return null;
    last = x(date);
    return svg("text", { x: x(date) - 8, y: 14 }, dayMonth(date));
  });
}

/** @param {string} discipline @param {{ shape: string, depth_m: number }[]} marks @param {[string, Goal][]} goals */
function spoken(discipline, marks, goals) {
  const done = marks.filter((mark) => mark.shape !== "planned").length;
  const far = Math.max(0, ...marks.map((mark) => mark.depth_m));
  const aims = goals.map(([name, goal]) => `${GOALS[name] ?? name} ${metres(goal.depth_m)}`).join(", ");
  const dives = `${done} deep dives done, ${marks.length - done} planned, to ${metres(far)}`;
  return `${discipline}: ${dives}. Goals: ${aims || "none"}. The days are listed below.`;
}
