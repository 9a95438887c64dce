// The emergency plan of a site as it is read: numbers to dial, the radio, the position, and who does what.
import { inWords } from "../plan/position.js";
import { h } from "../ui/dom.js";

const CALLS = [
  ["emergency_phone", "Local emergency number"],
  ["radio_channel", "Radio channel"],
  ["chamber_phone", "Recompression chamber", "chamber"],
  ["hospital_phone", "Hospital", "hospital"],
];
const FACTS = [
  ["oxygen_where", "Oxygen"],
  ["oxygen_by", "Oxygen is given by"],
  ["boat_driver", "Drives the boat"],
  ["meeting_point", "Meeting point"],
  ["language", "Language spoken"],
  ["note", "Note"],
];

/** What a phone dials: digits, with the + of a country; null when there are none. @param {string} number */
export function dialled(number) {
  const isAbroad = number.trim().startsWith("+");
  const said = isAbroad ? number.replace("(0)", "") : number; // that nought is dialled at home only
  const digits = said.replace(/[^0-9]/g, "");
  return digits ? `tel:${isAbroad ? "+" : ""}${digits}` : null;
}

/** The numbers, each as one large link, and the radio; a place without a number is named too. */
export function calls(fields) {
  return CALLS.map(([name, says, place]) => call(name, says, fields[place], fields[name]));
}

function call(name, says, place, number) {
  if (!number && !place) return null;
  const address = number && name !== "radio_channel" ? dialled(number) : null;
  return h(address ? "a" : "p", { class: "call", id: `call-${name}`, href: address },
    h("span", null, [says, place].filter(Boolean).join(": ")),
    h("strong", null, number || "no number filled in"));
}

/**
 * The site whose plan is shown: the season's; one that a crew was given only while the own one has no number to call,
 * that of the same place before all.
 * @template {{ fields: Fields }} T
 * @param {T | null} own @param {T[]} theirs @returns {T | null}
 */
export function planFirst(own, theirs) {
  if (own?.fields.emergency_phone) return own;
  return theirs.find(({ fields }) => own && fields.name === own.fields.name) ?? theirs[0] ?? own;
}

/** Who does what, and where. */
export function facts(fields) {
  const given = FACTS.filter(([name]) => fields[name]);
  if (given.length === 0) return null;
  return h("dl", { class: "plan-facts" }, given.map(([name, says]) =>
    h("div", null, h("dt", null, says), h("dd", null, fields[name]))));
}

/** A position in degrees and minutes and in decimal degrees; null when there is none. */
export function place(title, at) {
  const words = inWords(at);
  if (!words) return null;
  const lines = (some) => some.map((one) => h("span", null, one));
  return h("div", { class: "place" }, h("h3", null, title),
    h("p", { class: "degrees" }, lines(words.minutes)), h("p", { class: "degrees soft" }, lines(words.decimal)));
}
