// Conditions and gear as fields of a form, of a day or of one dive, and in words.
import { BOAT } from "../labels.js";
import { CONDITIONS, UNITS } from "../plan/conditions.js";
import { field, input, toggles } from "../ui/fields.js";
import { FIELDS, show } from "../ui/words.js";
import { depth } from "./dive_check.js";

const LIMIT = { thermocline_m: "depth_m", surface_c: "temperature_c", bottom_c: "temperature_c", neck_kg: "lead_kg" };

/** The fields, filled with what was typed. @param {{ [name: string]: string }} typed */
export function conditionFields(typed) {
  return CONDITIONS.map((name) => {
    if (BOAT[name]) return choice(name, typed[name]);
    if (UNITS[name]) {
      return field(name, `${FIELDS[name]} (${UNITS[name]})`, input(name, typed[name], { inputmode: "decimal" }));
    }
    return field(name, FIELDS[name], input(name, typed[name], { maxlength: BOAT.limits?.text?.max }));
  });
}

function choice(name, chosen) {
  const options = Object.entries(BOAT[name]).map(([code, { says }]) => [code, says]);
  return toggles("radio", name, FIELDS[name], [...options, ["", "Not said"]], chosen ?? "");
}

/** A record's conditions as they would have been typed. @param {Fields} fields */
export function conditionsTyped(fields) {
  const text = (value) => (typeof value === "number" ? show(value) : (value ?? ""));
  return Object.fromEntries(CONDITIONS.map((name) => [name, text(fields[name])]));
}

/**
 * What was typed as a record's fields, and its faults, [fields, faults]. Without `before` only what was filled in.
 * @param {{ [name: string]: string }} typed @param {Fields} [before] @returns {[Fields, Fault[]]}
 */
export function checkConditions(typed, before = {}) {
  const fields = {};
  const faults = [];
  for (const name of CONDITIONS) {
    const text = (typed[name] ?? "").trim();
    const value = UNITS[name] ? depth(text) : BOAT[name] ? text || null : text;
    const bound = BOAT.limits?.[LIMIT[name] ?? name];
    if (UNITS[name] && value !== null) faults.push(...faultOf(name, value, bound));
    if (value !== null && value !== "") fields[name] = value;
    else if (before[name] !== undefined) fields[name] = value;
  }
  return [fields, faults];
}

function faultOf(name, value, bound) {
  if (Number.isNaN(value)) return [{ field: name, says: "must be a number, or nothing" }];
  if (bound && (value < bound.min || value > bound.max)) {
    return [{ field: name, says: `must be from ${show(bound.min)} to ${show(bound.max)}` }];
  }
  return [];
}

/** What a record says of conditions and gear: `Current light · Visibility 20 m`. @param {Fields} fields */
export function conditionWords(fields) {
  return CONDITIONS.filter((name) => ![undefined, null, ""].includes(fields[name])).map((name) => {
    const value = BOAT[name]?.[fields[name]]?.says.toLowerCase() ?? fields[name];
    return `${FIELDS[name]} ${UNITS[name] ? `${show(value)} ${UNITS[name]}` : value}`;
  }).join(" · ");
}
