// What was typed on the site form, turned into a record's fields, or into all its faults at once.
// The server's check is the strict one; this check shows a typing error while the diver still looks at the form.
import { isCoarse, parse } from "../plan/position.js";
import { show } from "../ui/words.js";

export const POSITION = ["latitude", "longitude"];
export const NUMBERS = ["bottom_m", "temperature_c", "altitude_m", "salinity"];
export const PHONES = ["emergency_phone", "hospital_phone", "chamber_phone"];
const PHONE = /^\+?[0-9\s().-]+$/;
const NUMBER = /^-?\d+(\.\d+)?$/;
const COARSE = "needs three decimals or more, or minutes with a decimal: two decimals are a kilometre";
const MISTYPED = {
  latitude: "must be degrees like 43.20575, or 43 12.345 N",
  longitude: "must be degrees like 16.05, or 16 03.000 E",
};

/** Return {fields, faults}; `bounds` are the limits by name, `before` the record's fields. */
export function check(typed, bounds = {}, before = {}) {
  const faults = [];
  const fault = (field, says) => faults.push({ field, says });
  const fields = {};
  const give = (name, value) => {
    if ((value !== null && value !== "") || name in before) fields[name] = value;
  };
  for (const [name, text] of Object.entries(typed)) {
    if (POSITION.includes(name)) give(name, position(name, text, fault));
    else if (NUMBERS.includes(name)) give(name, number(name, text, bounds[name], fault));
    else if (name === "water") give(name, text || null);
    else give(name, words(name, text, bounds[name === "note" ? "note" : "text"], fault));
  }
  if (POSITION.every((name) => Number.isFinite(fields[name]))) // the latitude alone is for the water's weight
    for (const name of POSITION) if (isCoarse(typed[name])) fault(name, COARSE);
  if (typed.name.trim() === "") fault("name", "is missing");
  return { fields, faults };
}

function position(name, text, fault) {
  const degrees = parse(text, name);
  if (Number.isNaN(degrees)) fault(name, MISTYPED[name]);
  return degrees;
}

function number(name, text, bound, fault) {
  const typed = text.trim().replace(",", ".");
  if (typed === "") return null;
  const value = NUMBER.test(typed) ? Number(typed) : NaN;
  if (Number.isNaN(value)) fault(name, "must be a number");
  else if (bound && (value < bound.min || value > bound.max))
    fault(name, `must be from ${show(bound.min)} to ${show(bound.max)}`);
  return value;
}

function words(name, text, bound, fault) {
  if (bound && text.length > bound.max) fault(name, `is too long: at most ${bound.max} characters`);
  const digits = text.replace(/[^0-9]/g, "").length;
  if (PHONES.includes(name) && text && !(PHONE.test(text) && digits > 1))
    fault(name, "must be one phone number: digits and spaces, with a + before the country's own");
  return text;
}
