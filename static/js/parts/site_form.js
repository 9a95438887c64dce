// The form of a site: the place, who to call, what is on board. All of it but the name may stay empty.
import { decimal } from "../plan/position.js";
import { h } from "../ui/dom.js";
import { field, input } from "../ui/fields.js";
import { FIELDS, show } from "../ui/words.js";
import { NUMBERS, PHONES, POSITION } from "./site_check.js";

const UNITS = { bottom_m: "m", temperature_c: "°C", altitude_m: "m", salinity: "g/kg" };
const WATERS = [["", "Not said"], ["salt", "Salt"], ["fresh", "Fresh"]];
const NAMES = [
  "name", ...POSITION, ...NUMBERS, "water", ...PHONES, "radio_channel", "hospital", "chamber", "oxygen_where",
  "oxygen_by", "boat_driver", "meeting_point", "language", "note",
];

/** Build the form from typed values; `locate` is called by the button that asks the phone where it is. */
export function siteForm(typed, locate) {
  const label = (name) => (UNITS[name] ? `${FIELDS[name]} (${UNITS[name]})` : FIELDS[name]);
  const text = (name, hint) => field(name, label(name), control(name, typed), hint);
  const part = (legend, ...fields) => h("fieldset", null, h("legend", null, legend), fields);
  return [
    part("Place", text("name"),
      text("latitude", "Like 43.20575, or 43 12.345 N."),
      text("longitude"),
      h("p", null, h("button", { type: "button", id: "locate", click: locate }, "Use this phone's position")),
      h("p", { id: "locate-says", role: "status" }),
      text("meeting_point", "Where an ambulance can meet the boat.")),
    part("Who to call", text("emergency_phone", "Many countries have a number of their own."),
      text("radio_channel", "For example VHF 16."), text("hospital"), text("hospital_phone"),
      text("chamber", "Ask it beforehand whether it takes divers now."), text("chamber_phone"), text("language")),
    part("On board", text("oxygen_where"), text("oxygen_by", "Only people who are trained to give it."),
      text("boat_driver"), text("note", "Everybody with a buddy link can read this page's fields.")),
    part("Water", text("bottom_m"), text("water"), text("temperature_c"), text("altitude_m"), text("salinity"),
      h("p", { class: "hint" }, "The season keeps the numbers that its plan was made with; change those on shore.")),
  ];
}

function control(name, typed) {
  if (name === "note") return noteArea(typed.note);
  if (name === "water") {
    return h("select", { id: name, name, "aria-describedby": `${name}-fault` },
      WATERS.map(([value, words]) => h("option", { value, selected: value === typed.water }, words)));
  }
  const kind = PHONES.includes(name) ? { type: "tel" } : UNITS[name] ? { inputmode: "decimal" } : {};
  return input(name, typed[name], { ...kind, required: name === "name" });
}

function noteArea(text) {
  const area = h("textarea", { id: "note", name: "note", rows: 3, "aria-describedby": "note-fault" });
  area.value = text ?? "";
  return area;
}

/** The values in the form now, as typed. */
export function typedIn(form) {
  const data = new FormData(form);
  return /** @type {any} */ (Object.fromEntries(NAMES.map((name) => [name, String(data.get(name) ?? "")])));
}

/** A record's fields as they would have been typed. */
export function asTyped(fields) {
  return Object.fromEntries(NAMES.map((name) => [name, written(name, fields[name])]));
}

function written(name, value) {
  if (value === null || value === undefined) return "";
  if (POSITION.includes(name)) return String(value); // all its digits
  return typeof value === "number" ? show(value) : String(value);
}

/** A position of the phone as it is filled in. */
export function filledIn(name, degrees) {
  return decimal(degrees, name).replace("°", "");
}
