// All that one record says, in words: of a dive, or of a day.
import { h } from "../ui/dom.js";
import { signWords } from "../ui/words.js";
import { conditionWords } from "./conditions_form.js";
import { dayFacts } from "./day_facts.js";
import { moreWords } from "./dive_more.js";
import { figureLines } from "./figures.js";
import { focusSays } from "./focus_form.js";

/** Paragraphs; `first` begins the line of a dive. @param {Slate} slate @param {ShownRow} row */
export function factsOf(slate, { kind, fields, damaged }, first) {
  if (damaged) return null;
  const of = { dive: () => diveFacts(slate, fields, first), day: () => dayFacts(fields),
    measure: () => figureLines(fields), review: () => [fields.well, fields.change] };
  const lines = (of[kind] ?? (() => []))().filter(Boolean);
  return [lines.map((words) => h("p", null, words)), fields.note && h("p", { class: "note" }, fields.note)];
}

function diveFacts({ sheet, rows }, fields, first) {
  const main = [
    first,
    fields.turned_why && `turned: ${sheet?.turned_whys?.[fields.turned_why]?.says ?? fields.turned_why}`,
    fields.effort !== null && `effort ${fields.effort}`,
    signWords(fields.signs, sheet),
  ].filter(Boolean).join(" · ");
  return [main, focusSays(fields, rows), moreWords(fields), conditionWords(fields)];
}
