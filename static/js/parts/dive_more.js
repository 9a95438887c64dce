// What else a diver may say of a dive, behind one fold: none of it is needed to save.
import { BOAT } from "../labels.js";
import { hasConditions } from "../plan/conditions.js";
import { h } from "../ui/dom.js";
import { field, input, toggles } from "../ui/fields.js";
import { FIELDS, minutes, show } from "../ui/words.js";
import { checkConditions, conditionFields, conditionsTyped } from "./conditions_form.js";
import { depth, seconds } from "./dive_check.js";

const DEPTHS = ["contractions_m", "free_fall_m", "equalised_m"]; // none of them deeper than the dive went
const LINE = "line_m";
const TIMES = ["down_s", "hang_s"];
const CODES = ["equalisation", "recovery"];

/** The fields in the order of the form, but for conditions and gear. */
export const MORE = ["safety", LINE, "free_fall_m", "contractions_m", ...TIMES, ...CODES, "equalised_m"];

/** The fold; it stands open when something in it was said. @param {{ [name: string]: any }} typed */
export function moreOfDive(typed) {
  const said = MORE.some((name) => name !== "safety" && name !== LINE && typed[name]);
  return h("details", { class: "sheet", id: "more-of-dive", open: said },
    h("summary", null, "More about this dive"),
    field("safety", FIELDS.safety, input("safety", typed.safety, { maxlength: BOAT.limits?.text?.max })),
    [LINE, ...DEPTHS].map((name) =>
      field(name, `${FIELDS[name]} (m)`, input(name, typed[name], { inputmode: "decimal" }))),
    TIMES.map((name) =>
      field(name, FIELDS[name], input(name, typed[name], { inputmode: "decimal" }), "Seconds, like 10, or 1:10.")),
    CODES.map((name) => choice(name, typed[name])),
    h("details", { id: "dive-conditions", open: hasConditions(typed) },
      h("summary", null, "Conditions and gear, where this dive differed from its day"),
      conditionFields(typed)));
}

function choice(name, chosen) {
  const options = Object.entries(BOAT[name] ?? {}).map(([code, { says }]) => [code, says]);
  return toggles("radio", name, FIELDS[name], [...options, ["", "Not said"]], chosen ?? "");
}

/** A record's fields of the fold as they would have been typed. @param {Fields} fields */
export function moreTyped(fields) {
  const number = (value) => (value === null || value === undefined ? "" : show(value));
  return {
    safety: fields.safety ?? "", line_m: number(fields.line_m), free_fall_m: number(fields.free_fall_m),
    contractions_m: number(fields.contractions_m),
    ...Object.fromEntries(TIMES.map((name) => [name, number(fields[name])])),
    equalisation: fields.equalisation ?? "", equalised_m: number(fields.equalised_m),
    recovery: fields.recovery ?? "", ...conditionsTyped(fields),
  };
}

/**
 * What was typed in the fold as a record's fields, and its faults: [fields, faults]. What is empty and was empty before
 * is left out.
 * @param {{ [name: string]: string }} typed @param {Fields} before
 * @param {{ reached_m?: number, dive_s?: number }} dive @param {Limits} bounds
 * @returns {[Fields, Fault[]]}
 */
export function checkMore(typed, before, { reached_m, dive_s }, bounds) {
  const read = /** @type {{ [name: string]: any }} */ ({
    safety: typed.safety?.trim() ?? "",
    ...Object.fromEntries(TIMES.map((name) => [name, seconds(typed[name] ?? "")])),
    ...Object.fromEntries([LINE, ...DEPTHS].map((name) => [name, depth(typed[name] ?? "")])),
    ...Object.fromEntries(CODES.map((name) => [name, typed[name] || null])),
  });
  const some = Object.entries(read).filter(([name, value]) => (value !== null && value !== "") || before?.[name]);
  const [conditions, faults] = checkConditions(typed, before ?? {});
  const limits = { ...Object.fromEntries(DEPTHS.map((name) => [name, bounds.depth_m])),
    line_m: BOAT.limits?.bottom_m, down_s: bounds.dive_s, hang_s: BOAT.limits?.hang_s };
  for (const [name, bound] of Object.entries(limits)) faults.push(...faultOf(name, read[name], bound));
  for (const name of DEPTHS) {
    if (read[name] > reached_m) faults.push({ field: name, says: "is deeper than the dive went" });
  }
  if (read.down_s !== null && dive_s !== null && read.down_s >= dive_s) {
    faults.push({ field: "down_s", says: "must be less than the dive time" });
  }
  return [{ ...Object.fromEntries(some), ...conditions }, faults];
}

function faultOf(name, value, bound) {
  const kind = TIMES.includes(name) ? "a number of seconds" : "a depth in metres";
  if (value === null) return [];
  if (Number.isNaN(value) || value < 0) return [{ field: name, says: `must be ${kind}, or nothing` }];
  if (bound && (value < bound.min || value > bound.max)) {
    return [{ field: name, says: `must be from ${show(bound.min)} to ${show(bound.max)}` }];
  }
  return [];
}

/** What the fold says of a logged dive, in words. @param {Fields} fields */
export function moreWords(fields) {
  const metres = (name, words) => fields[name] && `${words} ${show(fields[name])} m`;
  return [
    fields.safety && `safety diver ${fields.safety}`,
    metres("line_m", "line"),
    metres("free_fall_m", "free fall from"),
    metres("contractions_m", "contractions from"),
    fields.down_s && `${minutes(fields.down_s)} down`,
    fields.hang_s && `${minutes(fields.hang_s)} at the plate`,
    fields.equalisation && BOAT.equalisation?.[fields.equalisation]?.says.toLowerCase(),
    metres("equalised_m", "equalisation ended at"),
    fields.recovery && `recovery ${BOAT.recovery?.[fields.recovery]?.says.toLowerCase() ?? fields.recovery}`,
  ].filter(Boolean).join(" · ");
}
