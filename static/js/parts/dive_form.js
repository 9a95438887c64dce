// The dive form. The planned values are filled in: a clean dive needs only its time and one touch on Save.
import { byId, h } from "../ui/dom.js";
import { field, input, stepper, toggleParts, toggles } from "../ui/fields.js";
import { DISCIPLINES, FIELDS, ROLES, diveName, longDay, metres, minutes, show, whenDay } from "../ui/words.js";
import { depth, seconds } from "./dive_check.js";
import { moreOfDive, moreTyped } from "./dive_more.js";
import { focusPart, focusTyped } from "./focus_form.js";

const DEPTH_STEP_M = 1; // of the two large buttons; any depth can be typed
const TIME_STEP_S = 5;
const EFFORTS = Array.from({ length: 11 }, (_, effort) => [effort, effort]);

// Signs that need one more answer, so that a tired diver touches the right one; each names its codes.
/** @type {[string, RegExp][]} */
const ASKS = [
  ["Blood ends the day: where was it?", /^blood_/],
  ["Ear ache ends the day: how strong?", /^ear_(ache|pain)$/],
];

/** Build the form from typed values; `hints` are {today, expected_s}, `sheet` may be missing. */
export function diveForm(typed, sheet, hints) {
  return [
    h("div", { id: "lighter", hidden: true }, field("lighter_why", "What was wrong with the first entry?",
      input("lighter_why", typed.lighter_why),
      "The result gets lighter. It is saved with a reason only, which stays in the history.")),
    what(typed, sheet, hints),
    field("reached_m", `${FIELDS.reached_m} (m)`, [
      reached(typed),
      h("p", { class: "flag", id: "reached_m-slip", role: "status", hidden: true }),
    ]),
    turnedWhy(typed, sheet),
    field("dive_s", FIELDS.dive_s, time(typed, hints), timeHint(hints.expected_s)),
    toggles("radio", "effort", "Effort", EFFORTS, typed.effort, {
      hint: "0 is none, 10 is all you had. You may leave it empty.",
    }),
    signs(typed, sheet),
    field("at", FIELDS.at, [
      input("at", typed.at, { type: "time" }),
      h("p", { class: "flag", id: "at-missing", role: "status", hidden: true }),
    ]),
    field("note", FIELDS.note, note(typed)),
    focusPart(typed),
    moreOfDive(typed),
  ];
}

/** The values in the form now, as typed. */
export function typedIn(form) {
  const data = new FormData(form);
  const text = (name) => String(data.get(name) ?? "");
  const typed = Object.fromEntries(Object.keys(asTyped({})).map((name) => [name, text(name)]));
  return /** @type {any} */ ({ ...typed, signs: data.getAll("signs").map(String) });
}

// Which dive it was. The plan filled this in; it is folded while nothing is missing.
function what(typed, sheet, { today }) {
  return h(
    "details",
    { class: "sheet what", open: !isSettled(typed) },
    h(
      "summary",
      null,
      h("span", { id: "what-words" }, whatWords(typed, today)),
      " ",
      h("span", { class: "word" }, "change"),
    ),
    toggles(
      "radio",
      "discipline",
      FIELDS.discipline,
      seasonFirst(sheet).map(([code, words]) => [code, [code, " ", h("small", null, words)]]),
      typed.discipline,
    ),
    toggles("radio", "role", FIELDS.role, Object.entries(ROLES), typed.role),
    field(
      "target_m",
      `${FIELDS.target_m} (m)`,
      input("target_m", typed.target_m, { inputmode: "decimal" }),
      "Leave empty if there was none.",
    ),
    field("date", FIELDS.date, input("date", typed.date, { type: "date" })),
  );
}

/** The disciplines of the season come first: they are logged on most days. */
function seasonFirst(sheet) {
  const isOther = (/** @type {any} */ [code]) => Number(!(code in (sheet?.disciplines ?? {})));
  return Object.entries(DISCIPLINES).sort((a, b) => isOther(a) - isOther(b));
}

const isSettled = ({ discipline, role, date }) => Boolean(discipline && role && date);

function whatWords(typed, today) {
  if (!isSettled(typed)) return "Which dive was it?";
  return [diveName(typed), typed.target_m && `target ${typed.target_m} m`, whenDay(typed.date, today)].filter(Boolean)
    .join(", ");
}

/** Bring the folded part's line and the hint of the time up to date with the form; `hints` as for `diveForm`. */
export function updateHints(form, { today, expected_s }) {
  form.querySelector("#what-words").textContent = whatWords(typedIn(form), today);
  form.querySelector("#dive_s-hint").textContent = timeHint(expected_s);
}

/** Put another planned depth into the fields that still show the last one; what the diver typed stays. */
export function refill(form, last, next) {
  for (const name of ["target_m", "reached_m"]) {
    const control = form.elements[name];
    if (control.value === last) control.value = next;
  }
}

function reached(typed) {
  const control = input("reached_m", typed.reached_m,
    { inputmode: "decimal", class: "figure", required: true, "aria-describedby": "reached_m-slip reached_m-fault" });
  const step = (text, sign) => show(Math.max(0, (depth(text) || depth(typed.target_m) || 0) + sign * DEPTH_STEP_M));
  return stepper("reached_m", control, step, [
    { sign: "−1", says: "One metre less" },
    { sign: "+1", says: "One metre more" },
  ]);
}

// Why a dive was turned; shown only while the depth is short of the target. What is hidden is not kept.
function turnedWhy(typed, sheet) {
  const whys = Object.entries(sheet?.turned_whys ?? {}).map(([code, { says }]) => [code, says]);
  return h("div", { id: "turned", hidden: true }, whys.length > 0 &&
    toggles("radio", "turned_why", FIELDS.turned_why, [...whys, ["", "Not said"]], typed.turned_why ?? ""));
}

/** Whether the depth is short of the target, by the tolerance of the sheet. */
export function isShort(typed, sheet) {
  const [target_m, reached_m] = [depth(typed.target_m), depth(typed.reached_m)];
  return Boolean(sheet && target_m > 0 && reached_m > 0 && reached_m < target_m - sheet.numbers.tolerance_m);
}

/**
 * Ask what belongs to the dive as typed: why it was turned, and when the second deep dive of a day surfaced: without
 * its time the plan does not know which came first.
 */
export function askMore(typed, sheet, hasDeep) {
  byId("turned").hidden = !isShort(typed, sheet);
  const missing = byId("at-missing");
  missing.hidden = typed.at !== "" || typed.role !== "deep" || !hasDeep;
  missing.textContent = missing.hidden ? "" : "A second deep dive of this day: when did you surface from it?";
}

/** Ask, beside the field, whether a depth far below the target is a typing error; it can be saved all the same. */
export function askWhetherTypingError(form, sheet) {
  const typed = typedIn(form);
  const [target_m, reached_m] = [depth(typed.target_m), depth(typed.reached_m)];
  const tooDeep = sheet && target_m > 0 && reached_m >= target_m + sheet.numbers.deeper_m;
  const says = form.querySelector("#reached_m-slip");
  says.hidden = !tooDeep;
  says.textContent = tooDeep ? `${metres(reached_m - target_m)} deeper than the target: is this a typing error?` : "";
}

// The hints are read at each touch: another kind of dive takes another time.
// A time that was filled in and left as it is stays marked: only times that the diver typed or changed are theirs.
function time(typed, hints) {
  const from = h("input", { type: "hidden", name: "time_from", value: typed.time_from });
  let fillsIn = false;
  const touched = () => {
    from.value = fillsIn ? "expected" : "";
    fillsIn = false;
  };
  const control = input("dive_s", typed.dive_s, {
    inputmode: "decimal",
    class: "figure",
    placeholder: "m:ss",
    change: asClock,
    input: touched,
  });
  const step = (text, sign) => {
    const before = seconds(text);
    if (before !== null && !Number.isNaN(before)) return minutes(before + sign * TIME_STEP_S);
    fillsIn = Boolean(hints.expected_s);
    return minutes(hints.expected_s ?? 0);
  };
  const buttons = [
    { sign: "−5 s", says: "Five seconds less" },
    { sign: "+5 s", says: "Five seconds more" },
  ];
  return [from, stepper("dive_s", control, step, buttons)];
}

// 125 becomes 2:05 when the diver leaves the field: this shows how it was understood.
function asClock({ target }) {
  const read = seconds(target.value);
  if (read) target.value = minutes(read);
}

function timeHint(expected_s) {
  const fills = ` The first touch on −5 s or +5 s fills in the expected ${minutes(expected_s ?? 0)}.`;
  return `Like 2:05 or 125.${expected_s ? fills : ""}`;
}

// Signs that end the day come first, those that need a doctor before all, so that LMC is no neighbour of blackout. A
// sign that others have replaced is shown only where a dive has it.
function signs(typed, sheet) {
  const known = Object.entries(sheet?.signs ?? {});
  if (known.length === 0)
    return h(
      "p",
      { class: "hint", id: "signs", tabindex: "-1" },
      "The list of signs comes with the season. Write what happened in the note.",
    );
  const offered = known.filter(([code, sign]) => !sign.replaced || typed.signs.includes(code));
  const asked = ASKS.map(([title, codes]) => ({ title, some: offered.filter(([code]) => codes.test(code)) }))
    .filter(({ some }) => some.length > 1);
  const apart = new Set(asked.flatMap(({ some }) => some));
  const isGrave = ([, sign]) => sheet.verdicts[sign.verdict].stands_down;
  const ends = ([, sign]) => Boolean(sheet.verdicts[sign.verdict].over ?? sign.over);
  const others = offered.filter((one) => !apart.has(one));
  const parts = [
    { title: "These end the day",
      some: [...others.filter(isGrave), ...others.filter((one) => ends(one) && !isGrave(one))] },
    ...asked,
    { title: "Other signs", some: others.filter((one) => !ends(one)) },
  ].map(({ title, some }) => [title, some.map(([code, sign]) => [code, sign.says])]);
  return toggleParts("checkbox", "signs", "Signs: touch what happened", parts, typed.signs, {
    hint: "Touch none if there was none.",
    look: "signs",
  });
}

function note(typed) {
  const area = h("textarea", { id: "note", name: "note", rows: 3, "aria-describedby": "note-fault" });
  area.value = typed.note;
  return area;
}

const number = (value) => (value === null || value === undefined ? "" : show(value));

/** A record's fields as they would have been typed. */
export function asTyped(fields) {
  return {
    date: fields.date ?? "",
    at: fields.at ?? "",
    discipline: fields.discipline ?? "",
    role: fields.role ?? "",
    target_m: number(fields.target_m),
    reached_m: number(fields.reached_m),
    dive_s: fields.dive_s === null || fields.dive_s === undefined ? "" : minutes(fields.dive_s),
    time_from: fields.time_from ?? "",
    turned_why: fields.turned_why ?? "",
    ...moreTyped(fields),
    ...focusTyped(fields),
    lighter_why: "", // a reason belongs to one change
    effort: number(fields.effort),
    signs: fields.signs ?? [],
    note: fields.note ?? "",
  };
}

export function titleOf(typed, editing) {
  return editing ? `Edit: ${diveName(typed)}, ${longDay(typed.date)}` : "Log a dive";
}
