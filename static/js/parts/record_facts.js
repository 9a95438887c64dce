// All that one record says, in words: of a dive, or of a day.
import { h } from "../ui/dom.js";
import { signWords } from "../ui/words.js";
import { conditionWords } from "./conditions_form.js";
import { dayFacts } from "./day_facts.js";
import { moreWords } from "./dive_more.js";

/** Paragraphs; `first` begins the line of a dive. @param {ShownRow} row @param {Sheet} sheet */
export function factsOf({ kind, fields, damaged }, sheet, first) {
  if (damaged) return null;
  const of = { dive: () => diveFacts(fields, sheet, first), day: () => dayFacts(fields) };
  const lines = (of[kind] ?? (() => []))().filter(Boolean);
  return [lines.map((words) => h("p", null, words)), fields.note && h("p", { class: "note" }, fields.note)];
}

function diveFacts(fields, sheet, first) {
  const main = [
    first,
    fields.turned_why && `turned: ${sheet?.turned_whys?.[fields.turned_why]?.says ?? fields.turned_why}`,
    fields.effort !== null && `effort ${fields.effort}`,
    signWords(fields.signs, sheet),
  ].filter(Boolean).join(" · ");
  return [main, moreWords(fields), conditionWords(fields)];
}
