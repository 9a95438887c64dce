// How a drill went against its focus, on the dive form: one touch, and who filmed it.
import { BOAT } from "../labels.js";
import { focusOn, focusWords } from "../plan/focus.js";
import { h } from "../ui/dom.js";
import { field, input, toggles } from "../ui/fields.js";
import { FIELDS } from "../ui/words.js";

/**
 * The part of the dive form; hidden unless the dive is a drill with a focus.
 * @param {{ [name: string]: any }} typed
 */
export function focusPart(typed) {
  const rates = Object.entries(BOAT.focus_rate ?? {}).map(([code, { says }]) => [code, says]);
  return h("div", { id: "focus-part", hidden: true },
    h("input", { type: "hidden", name: "focus", value: typed.focus || null }),
    h("p", { class: "reminder", id: "focus-words" }),
    toggles("radio", "focus_rate", FIELDS.focus_rate, [...rates, ["", "Not said"]], typed.focus_rate ?? ""),
    field("filmed_by", FIELDS.filmed_by, input("filmed_by", typed.filmed_by, { maxlength: BOAT.limits?.text?.max }),
      "Leave empty if nobody filmed it."));
}

/**
 * Bring the part up to date with the form: the focus of a drill's discipline on its day, or the one that it was dived
 * with.
 * @param {HTMLFormElement} form @param {Slate} slate @param {{ [name: string]: any }} typed @param {Fields} [before]
 */
export function updateFocus(form, slate, typed, before) {
  const row = slate.rows.find(({ record }) => record === before?.focus)
    ?? focusOn(slate, typed.discipline, typed.date);
  const shown = typed.role === "drill" && Boolean(row);
  /** @type {HTMLElement} */ (form.querySelector("#focus-part")).hidden = !shown;
  form.querySelector("#focus-words").textContent = shown ? `Focus: ${focusWords(row.fields)}` : "";
  /** @type {any} */ (form.elements.namedItem("focus")).value = shown ? row.record : "";
}

/**
 * What was typed as a record's fields; what is empty and was empty before is left out.
 * @param {{ [name: string]: any }} typed @param {Fields} [before] @returns {Fields}
 */
export function focusFields(typed, before) {
  const isDrill = typed.role === "drill" && Boolean(typed.focus);
  const said = { focus_rate: isDrill ? typed.focus_rate || null : null,
    filmed_by: isDrill ? (typed.filmed_by ?? "").trim() : "" };
  const some = Object.fromEntries(Object.entries(said).filter(([name, value]) => value || before?.[name]));
  return Object.keys(some).length > 0 ? { ...some, focus: typed.focus || before?.focus || "" } : {};
}

/** A record's fields of this part as they would have been typed. @param {Fields} fields */
export function focusTyped({ focus, focus_rate, filmed_by }) {
  return { focus: focus ?? "", focus_rate: focus_rate ?? "", filmed_by: filmed_by ?? "" };
}

/** How a logged drill went against its focus, in words; "" when nothing was said. */
export function focusSays({ focus, focus_rate, filmed_by }, rows) {
  const row = rows.find(({ record }) => record === focus);
  return [
    row && `focus: ${focusWords(row.fields)}`,
    focus_rate && (BOAT.focus_rate?.[focus_rate]?.says.toLowerCase() ?? focus_rate),
    filmed_by && `filmed by ${filmed_by}`,
  ].filter(Boolean).join(" · ");
}
