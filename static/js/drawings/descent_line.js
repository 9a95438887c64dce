// The ladder drawn on the descent line: depth goes down, dates go across; done, planned and goals by shape and word.
import { h, svg } from "../ui/dom.js";
import { shape } from "../ui/verdict_mark.js";
import { GOALS, dayMonth, metres } from "../ui/words.js";
import { AXIS, dateAxis, dateScale, dayNumber, depthAxis, spread } from "./axes.js";

const TOP = 34;
const HEIGHT = 400;
const WORDS = 60; // the width of the goals' words, at the right of the dives
const LABEL = 34; // the height of one goal's words
const WHOLE_STEP = 13; // a day so wide that the shapes of two days in a row do not touch
const LEAST_STEP = 3.5; // in a narrower day the next shape would hide this one: then the dives move sideways instead
const MOVED_STEP = 8;
const LEAST_SHAPE = 0.65;

/**
 * Return the drawing of one discipline: its deep dives done, those planned from today on, its goals; `wide` in pixels.
 */
export function descentLine(plan, discipline, today, wide) {
  const marks = plan.days.flatMap((day) => marksOf(day, discipline, today));
  const goals = Object.entries(plan.disciplines[discipline].goals);
  const deepest = Math.max(1, ...marks.map((mark) => mark.depth_m), ...goals.map(([, goal]) => goal.depth_m));
  const floor = Math.ceil((deepest + 1) / 5) * 5;
  const y = (depth_m) => TOP + (depth_m / floor) * HEIGHT;
  const room = wide - AXIS - (goals.length > 0 ? WORDS : 0);
  const scale = dateScale(marks.length > 0 ? marks.map((mark) => mark.date) : [today], room, LEAST_STEP, MOVED_STEP);
  return [
    part(AXIS, { "aria-hidden": "true" }, depthAxis(floor, y)),
    pane(scale, room, discipline, newestOf(marks, scale),
      part(scale.width, { role: "img", "aria-label": spoken(discipline, marks, goals) },
        goals.map(([, goal]) => svg("path", { class: "goal", d: `M0 ${y(goal.depth_m)}H${scale.width}` })),
        surface(plan.days, scale, y(0)),
        dateAxis(scale, y(0)),
        marks.map((mark) => drawn(mark, scale, y)))),
    goals.length > 0 && part(WORDS, { "aria-hidden": "true" }, goalWords(goals, y)),
  ];
}

function part(width, attributes, ...children) {
  return svg("svg", { class: "ladder", viewBox: `0 0 ${width} ${TOP + HEIGHT + 20}`, width, ...attributes }, children);
}

// The dives alone move sideways, when they are too many for the width: depths and goals stay beside them.
function pane({ width }, room, discipline, newest, drawing) {
  const moves = width > room && { tabindex: "0", role: "group", "aria-label": `Dives of ${discipline}, by date` };
  return h("div", { class: "pane", id: `pane-${discipline}`, "data-newest": newest, ...moves }, drawing);
}

function newestOf(marks, { x }) {
  const newest = marks.findLast((mark) => mark.shape !== "planned") ?? marks[0];
  return newest ? x(newest.date) : 0;
}

function marksOf(day, discipline, today) {
  const deep = (dive) => dive.role === "deep" && dive.discipline === discipline;
  const done = day.done.filter(deep).map((dive) => ({ date: day.date, depth_m: dive.reached_m, shape: dive.verdict }));
  const planned = day.dives.filter((dive) => deep(dive) && dive.done === null);
  if (done.length > 0 || day.over || day.date < today) return done;
  return planned.map((dive) => ({ date: day.date, depth_m: dive.target_m, shape: "planned" }));
}

function drawn(mark, { x, step }, y) {
  const size = Math.max(LEAST_SHAPE, Math.min(1, step / WHOLE_STEP));
  return svg("g", { transform: `translate(${x(mark.date)} ${y(mark.depth_m)}) scale(${size})` }, shape(mark.shape));
}

// The surface is drawn for the days of the blocks: a break is a gap in it.
function surface(days, { first, days: many, start }, at) {
  const stretches = [];
  for (const number of days.filter(({ block }) => block !== null).map(({ date }) => dayNumber(date))) {
    if (number < first || number >= first + many) continue;
    if (stretches.at(-1)?.end === number) stretches.at(-1).end += 1;
    else stretches.push({ from: number, end: number + 1 });
  }
  return stretches.map(({ from, end }) => svg("path", { class: "surface", d: `M${start(from)} ${at}H${start(end)}` }));
}

// Goals that lie close together would write over each other: their words keep their distance and point at their lines.
function goalWords(goals, y) {
  const heights = spread(goals.map(([, goal]) => y(goal.depth_m)), LABEL, TOP + HEIGHT);
  return goals.map(([name, goal], at) => [
    svg("path", { class: "goal-leader", d: `M0 ${y(goal.depth_m)}L9 ${heights[at]}` }),
    svg("text", { class: "goal-word", x: 12, y: heights[at] - 3 }, GOALS[name] ?? name),
    svg("text", { class: "goal-word", x: 12, y: heights[at] + 13 }, metres(goal.depth_m)),
  ]);
}

/** Goal][]} goals */
function spoken(discipline, marks, goals) {
  const done = marks.filter((mark) => mark.shape !== "planned").length;
  const far = Math.max(0, ...marks.map((mark) => mark.depth_m));
  const when = marks.length > 0 ? `, ${dayMonth(marks[0].date)} to ${dayMonth(marks.at(-1).date)}` : "";
  const aims = goals.map(([name, goal]) => `${GOALS[name] ?? name} ${metres(goal.depth_m)}`).join(", ");
  const counted = `${done} deep dives done, ${marks.length - done} planned${when}, to ${metres(far)}`;
  return `${discipline}: ${counted}. Goals: ${aims || "none"}. The days are listed below.`;
}
