// The history of a focus: its drills with what was said of them, their clips on this phone, and what was measured.
import { BOAT } from "../labels.js";
import { drillsWith, focusWords } from "../plan/focus.js";
import { h } from "../ui/dom.js";
import { count, metres, shortDay } from "../ui/words.js";
import { figureLines } from "./figures.js";

const ELSEWHERE = "Its clip was on another phone, or was deleted.";
const NO_CLIP = "No clip of it is on this phone.";

/**
 * @param {Slate} slate @param {ShownRow} focus @param {Clip[]} clips @param {boolean} [earlier] not the one of today
 */
export function focusHistory(slate, { record, fields }, clips, earlier = false) {
  const drills = drillsWith(slate.dives, record);
  const measures = slate.rows.filter((row) => row.kind === "measure" && !row.deleted && !row.damaged);
  const of = (dive) => measures.filter((row) => row.fields.dive === dive.id);
  const measured = drills.reduce((sum, dive) => sum + of(dive).length, 0);
  return h("details", { id: `history-${record}`, class: "focus-history" },
    h("summary", null, earlier ? `${focusWords(fields)}, from ` : "Since ",
      `${shortDay(fields.from)}: ${count(drills.length, "drill")}, ${measured} measured`),
    drills.length > 0 && h("ul", { class: "rows" }, drills.toReversed().map((dive) =>
      h("li", { id: `drill-${dive.id}` }, rated(dive), clipsOf(dive, clips, of(dive)), of(dive).map(figures)))));
}

function rated(dive) {
  return h("p", null, `${shortDay(dive.date)}, ${metres(dive.reached_m)}: `,
    h("strong", null, BOAT.focus_rate?.[dive.focus_rate]?.says ?? "not said"),
    dive.filmed_by ? `, filmed by ${dive.filmed_by}` : "");
}

function clipsOf(dive, clips, measures) {
  const here = clips.filter((clip) => clip.dive === dive.id);
  if (here.length > 0) return h("p", { class: "row" }, here.map(({ id, name }) =>
    h("a", { class: "button button-quiet", href: `/boat/technique?clip=${encodeURIComponent(id)}` }, `Clip ${name}`)));
  const words = measures.length > 0 ? ELSEWHERE : dive.filmed_by ? NO_CLIP : "";
  return words && h("p", { class: "soft small" }, words);
}

function figures({ fields }) {
  return [h("ul", { class: "small" }, figureLines(fields).map((words) => h("li", null, words))),
    fields.note && h("p", { class: "note" }, fields.note)];
}
