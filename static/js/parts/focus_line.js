// The focus of a discipline as one line, on Today and on the card.
import { focusOn, focusWords } from "../plan/focus.js";
import { h } from "../ui/dom.js";

/**
 * `Focus: soft knees`, with the way to change it; the plan's own words while none was set. Null but for a drill.
 * @param {Slate} slate @param {PlannedDive} dive
 */
export function focusLine(slate, { discipline, role, focus }) {
  if (role !== "drill") return null;
  const row = focusOn(slate, discipline, slate.today);
  const words = row ? focusWords(row.fields) : focus;
  const address = `/boat/focus?discipline=${discipline}`;
  return h("p", { class: "row focus-line" },
    words ? h("span", null, "Focus: ", h("strong", null, words)) : h("span", null, "No focus yet"),
    h("a", { class: "button button-quiet", href: address }, words ? "Change" : "Set one"));
}
