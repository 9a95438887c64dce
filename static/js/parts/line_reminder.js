// Lanyard, line and weights in one line, before each deep dive.
import { rungOf } from "../plan/lookups.js";
import { h } from "../ui/dom.js";
import { metres } from "../ui/words.js";

/** The line for a deep dive; null for any other. @param {Sheet} sheet @param {PlannedDive} dive */
export function lineReminder(sheet, dive) {
  if (dive.role !== "deep") return null;
  const line_m = rungOf(sheet, dive)?.card?.line_m;
  const line = line_m === undefined ? "line length" : `line at ${metres(line_m)}`;
  return h("p", { class: "reminder", id: "line-reminder" }, `Look again: lanyard on, ${line}, weights.`);
}
