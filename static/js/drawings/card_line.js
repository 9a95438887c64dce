// A dive drawn on the descent line: the way down at its left, the way up and the safety diver at its right.
import { svg } from "../ui/dom.js";
import { metres, minutes, restMinutes } from "../ui/words.js";
import { spread } from "./axes.js";

const WORDS = {
  free_fall: "free fall",
  mouthfill: "mouthfill charge",
  alarm: "alarm",
  turn: "turn",
  leave: "safety diver leaves",
  meet: "safety diver meets",
  back: "back at the surface",
  overdue: "overdue",
};
const SHORT = { ...WORDS, leave: "safety leaves", meet: "safety meets", back: "back" };
const ON_PAPER = { ...SHORT, mouthfill: "mouthfill", meet: "meet" };

// Two sizes: on the screen the words of a label stand below its number, on a small sheet of paper beside it.
// `gap` is the height of one label, in pixels.
export const SIZES = {
  screen: { name: "screen", wide: 340, gap: 50, least: 290, below: 20, words: SHORT },
  print: { name: "print", wide: 420, gap: 25, least: 190, below: 0, words: ON_PAPER },
};

/**
 * What happens in a dive to this depth, in order of time: {kind, says, depth_m, at_s}; depth_m is null at the surface.
 */
export function happenings(card, depth_m) {
  const { meet } = card;
  const found = [
    ...card.down.map(([kind, at_m, at_s]) => ({ kind, depth_m: at_m, at_s })),
    { kind: "turn", depth_m, at_s: card.turn_s },
    { kind: "leave", depth_m: null, at_s: meet.leave_s },
    { kind: "meet", depth_m: meet.depth_m, at_s: meet.meet_s },
    { kind: "back", depth_m: null, at_s: card.total_s },
    { kind: "overdue", depth_m: null, at_s: card.overdue_s },
  ];
  return found
    .map((event) => ({ ...event, says: WORDS[event.kind] ?? event.kind }))
    .sort((first, second) => first.at_s - second.at_s);
}

/** The drawing of one card; `pause_s` is null when no rule gives one. */
export function cardLine(rung, { bottom_m, pause_s }, size) {
  const { card, depth_m } = rung;
  const { wide, gap } = size;
  const surface = 2.7 * gap;
  const long = Math.max(size.least, gap * (card.down.length + 2));
  const plate = surface + long;
  const bottom = plate + 1.7 * gap;
  const x = wide / 2;
  const y = (at_m) => surface + (at_m / depth_m) * long;
  const meet = y(card.meet.depth_m);
  return svg("svg",
    { class: `card-line card-line-${size.name}`, viewBox: `0 0 ${wide} ${bottom + 32}`, role: "img",
      "aria-label": spoken(rung, bottom_m, pause_s) },
    svg("path", { class: "line", d: `M${x} ${surface}V${plate}M${x - 15} ${surface}h30` }),
    svg("path", { class: "plate", d: `M${x - 11} ${plate}h22` }),
    svg("path", { class: "gap", d: `M${x} ${plate}V${bottom}` }),
    svg("path", { class: "safety", d: `M${x + 17} ${surface}V${meet}m-4 -6l4 6l4 -6` }),
    ticks(x, y, depth_m), ground(x, bottom, bottom_m),
    labels("left", leftOf(rung, pause_s, y, surface, size), plate, x, size),
    labels("right", rightOf(card, meet, surface, plate, size), plate + gap, x, size));
}

function leftOf({ card, depth_m }, pause_s, y, surface, { gap, words }) {
  return [
    { height: surface - gap, number: pause_s === null ? "not known" : restMinutes(pause_s), words: "rest at least" },
    { height: surface, number: minutes(0), words: "start" },
    ...card.down.map(([kind, at_m, at_s]) => ({
      height: y(at_m),
      from: y(at_m),
      number: `${metres(at_m)}  ${minutes(at_s)}`,
      words: words[kind] ?? kind,
    })),
    { height: y(depth_m), from: y(depth_m), number: `${metres(depth_m)}  ${minutes(card.turn_s)}`, words: words.turn },
  ];
}

function rightOf(card, meet, surface, plate, { gap, words }) {
  return [
    { height: surface - 2 * gap, number: minutes(card.overdue_s), words: words.overdue },
    { height: surface - gap, number: minutes(card.total_s), words: words.back },
    { height: surface, number: minutes(card.meet.leave_s), words: words.leave },
    {
      height: meet,
      from: meet,
      number: `${metres(card.meet.depth_m)}  ${minutes(card.meet.meet_s)}`,
      words: words.meet,
    },
    { height: plate - gap / 6, from: plate, number: metres(card.line_m), words: "line to set" },
    { height: plate + gap, number: metres(card.clearance_m), words: "above the bottom" },
  ];
}

function labels(side, all, lowest, x, { gap, below }) {
  const sign = side === "left" ? -1 : 1;
  const near = sign < 0 ? 9 : 23; // the safety diver's line is between
  const heights = spread(all.map((label) => label.height), gap, lowest);
  const anchor = sign < 0 ? "end" : "start";
  return all.map((label, index) => [
    label.from !== undefined &&
      svg("path", {
        class: "leader",
        d: `M${x + sign * 4} ${label.from}L${x + sign * near} ${label.from}L${x + sign * (near + 6)} ${heights[index]}`,
      }),
    lettering(label, { "text-anchor": anchor, x: x + sign * (near + 9), y: heights[index] + 5 }, below, sign),
  ]);
}

// The number stands next to the line, on either side.
function lettering({ number, words }, place, below, sign) {
  if (below) {
    const under = { ...place, class: "card-word", y: place.y + below };
    return [svg("text", { ...place, class: "card-number" }, number), svg("text", under, words)];
  }
  const parts = [svg("tspan", { class: "card-number" }, number), " ", svg("tspan", { class: "card-word" }, words)];
  return svg("text", place, sign < 0 ? parts.reverse() : parts);
}

function ticks(x, y, depth_m) {
  const depths = Array.from({ length: Math.floor(depth_m / 5) }, (_, index) => (index + 1) * 5);
  return depths.map((at_m) =>
    svg("path", { class: "line", d: `M${x - (at_m % 10 ? 3 : 6)} ${y(at_m)}h${at_m % 10 ? 6 : 12}` }),
  );
}

function ground(x, height, bottom_m) {
  const strokes = Array.from({ length: 9 }, (_, index) => `M${x - 62 + index * 15} ${height}l-7 8`).join("");
  return [
    svg("path", { class: "ground", d: `M${x - 70} ${height}h140${strokes}` }),
    svg(
      "text",
      { class: "card-word", "text-anchor": "middle", x, y: height + 24 },
      bottom_m === null ? "bottom: not known" : `bottom ${metres(bottom_m)}`,
    ),
  ];
}

function spoken({ card, depth_m }, bottom_m, pause_s) {
  const events = happenings(card, depth_m).map(
    ({ says, depth_m: at_m, at_s }) => `${says}${at_m === null ? "" : ` at ${metres(at_m)}`} after ${minutes(at_s)}`,
  );
  const end = bottom_m === null ? "" : `, ${metres(card.clearance_m)} above the bottom at ${metres(bottom_m)}`;
  const pause = pause_s === null ? "" : ` Rest after surfacing: at least ${restMinutes(pause_s)}.`;
  const all = `In order: ${events.join("; ")}.${pause} The same is listed below.`;
  return `The dive on the descent line. Line ${metres(card.line_m)}${end}. ${all}`;
}
