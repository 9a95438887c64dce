// The focus of a discipline as one line, on Today and on the card.
import { focusOn, focusWords } from "../plan/focus.js";
import { h } from "../ui/dom.js";

/**
 * The focus of a planned drill in words: the diver's own, or the plan's while none was set.
 * @param {Slate} slate @param {PlannedDive} dive
 */
export function focusOf(slate, { discipline, role, focus }) {
  const row = role === "drill" ? focusOn(slate, discipline, slate.today) : null;
  return row ? focusWords(row.fields) : focus;
}

/**
 * `Focus: soft knees`, with the way to change it; the plan's own words while none was set. Null but for a drill.
 * @param {Slate} slate @param {PlannedDive} dive
 */
export function focusLine(slate, dive) {
  if (dive.role !== "drill") return null;
  const words = focusOf(slate, dive);
  const address = `/boat/focus?discipline=${dive.discipline}`;
  return h("p", { class: "row focus-line" },
    words ? h("span", null, "Focus: ", h("strong", null, words)) : h("span", null, "No focus yet"),
    h("a", { class: "button button-quiet", href: address }, words ? "Change" : "Set one"));
}
