// When each goal is reached, by what was dived clean and by what is planned. Twin of webapp/planner/reader/outlook.py.
// A mark is {date, depth_m, done}: a clean dive, done or still assumed, and the depth that it stands for.
import { dateWords, fill } from "./sentences.js";

/**
 * The goals as {goal: {depth_m, on, says}}; `on` is the date on which it is reached, or null.
 * @param {Words} words
 * @param {Ladder} ladder
 * @param {Mark[]} marks
 * @param {boolean} isOver
 * @returns {{ [name: string]: Goal }}
 */
export function goalsOf(words, ladder, marks, isOver) {
  return Object.fromEntries(ladder.goals.map(([name, depth_m]) =>
    [name, goal(words, ladder, name, depth_m, marks, isOver)]));
}

/** The deepest depth that is planned, null when nothing is. @param {Mark[]} marks */
export function reaches(marks) {
  return deepest(marks.filter((mark) => !mark.done));
}

/** The deepest depth that was dived clean, null when none was. @param {Mark[]} marks */
export function reached(marks) {
  return deepest(marks.filter((mark) => mark.done));
}

function deepest(marks) {
  return marks.length ? Math.max(...marks.map((mark) => mark.depth_m)) : null;
}

/**
 * Which goals a dive to this target reaches for the first time, "" when none.
 * @param {Words} words
 * @param {Ladder} ladder
 * @param {Mark[]} marks
 * @param {number} target_m
 */
export function goalSaid(words, ladder, marks, target_m) {
  const before = Math.max(reaches(marks) ?? 0, reached(marks) ?? 0);
  return ladder.goals.filter(([, depth_m]) => before < depth_m && depth_m <= target_m)
    .map(([name, depth]) => fill(words.reaches_goal, { depth, goal: name.replace(/_m$/, "") })).join(", ");
}

/**
 * What a clean dive to this depth reached for the first time: a new best, goals.
 * @param {Words} words @param {Ladder} ladder @param {Mark[]} marks @param {number} best_m @param {number} depth
 */
export function wins(words, ladder, marks, best_m, depth) {
  const before = reached(marks) ?? 0;
  const goals = ladder.goals.filter(([, goal_m]) => before < goal_m && goal_m <= depth);
  return [...(depth > best_m ? [fill(words.best_done, { depth })] : []),
    ...goals.map(([name, goal_m]) => fill(words.goal_reached, { depth: goal_m, goal: name.replace(/_m$/, "") }))];
}

function goal(words, ladder, name, depth_m, marks, isOver) {
  const mark = marks.find((one) => one.depth_m >= depth_m);
  const date = mark ? dateWords(mark.date, words) : "";
  const said = { depth: depth_m, goal: name.replace(/_m$/, ""), cap: ladder.cap_m, date,
    reaches: reaches(marks) ?? "" };
  return { depth_m, on: mark?.date ?? null, says: fill(words[key(mark, depth_m, ladder, marks, isOver)], said) };
}

function key(mark, depth_m, ladder, marks, isOver) {
  if (mark) return mark.done ? "goal_done" : "goal_on";
  if (depth_m > ladder.cap_m) return "goal_cap";
  if (isOver) return "goal_was_not";
  return reaches(marks) === null ? "goal_none" : "goal_not";
}
