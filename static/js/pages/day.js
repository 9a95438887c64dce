// The diver's word for a day: no diving, or an easier day. Each touch is saved at once and shown in the plan.
import { dayAfter, localDay, localMoment } from "../clock.js";
import { BOAT } from "../labels.js";
import { dayWords, sayOfDay } from "../parts/day_says.js";
import { endOf } from "../parts/dive_says.js";
import { NOTHING, isEmpty, ownWord, wordsFor } from "../plan/day_word.js";
import { dayOf } from "../plan/lookups.js";
import { save } from "../store/outbox.js";
import { readSlate } from "../store/slate.js";
import { warn } from "../ui/alarm.js";
import { byId, h, put, redraw } from "../ui/dom.js";
import { field, input, showFaults, toggles } from "../ui/fields.js";
import { DAYS, FIELDS, NOT_SAVED, count, diveName, longDay, metres, sentence } from "../ui/words.js";
import { startBoat } from "./boat.js";

const VALUE = { easy: Boolean, hold: Boolean, taxing: Boolean, shallower: Number, no_diving: String, lead: String };
const fieldOf = (name) => (name === "lead" ? "main" : name); // the page has another part called main
const UNSAID = { ...NOTHING, easy: false };
const WHOLE_DAY = ["rpe", "minutes"];
const TYPING_MS = 400;
const asked = new URLSearchParams(location.search).get("date");
const date = asked && localMoment(asked, "12:00") !== null ? asked : localDay();

let slate = null; // as last drawn
let saving = Promise.resolve(); // one after the other: each builds on what the one before has saved
let pending = 0;
let typing = null; // {timer, event} while the note is typed and not yet saved

document.addEventListener("click", leave);
addEventListener("pagehide", finishTyping);
document.addEventListener("visibilitychange", () => document.hidden && finishTyping());

startBoat((now) => {
  slate = now;
  byId("day-title").textContent = date === now.today ? "Make today easier" : "Make a day easier";
  byId("day").textContent = longDay(date);
  if (!now.plan) return put(byId("word"), h("div", { class: "news" }, h("p", null, "This phone has no season yet.")));
  if (!byId("word-form")) put(byId("word"), form(now));
  redraw(byId("word-does"), does(now));
  if (pending === 0) fillIn(own()?.fields ?? {}); // else it would undo the touch that is being saved
});

/** @returns {ShownRow} */
function own() {
  return ownWord(slate, date);
}

// Whether this page has said something: the same record holds the morning and the check at the line.
function isSaid({ fields }) {
  return !isEmpty(Object.fromEntries(Object.keys(UNSAID).map((name) => [name, fields[name]])));
}

/** @param {Slate} slate */
function form({ sheet }) {
  const { no_diving, limits, disciplines, days } = sheet;
  const lead = days.find((day) => day.date === date)?.lead;
  const others = Object.keys(disciplines).filter((name) => name !== lead).map((name) => [name, name]);
  const reasons = Object.entries(no_diving).map(([code, { says }]) => [code, says]);
  const { min = 1, max = 0 } = limits.shallower ?? {};
  const rungs = Array.from({ length: max - min + 1 }, (_, index) => [min + index, count(min + index, "rung")]);
  const group = (name, legend, options) => options.length > 0 && toggles("checkbox", name, legend, options, []);
  const last = limits.day_range && dayAfter(date, limits.day_range.max - 1);
  return [
    h("section", { id: "word-does", class: "sheet", role: "status" }),
    h("form", { id: "word-form", novalidate: true, change: touched, input: typed, submit: stay },
      h("div", { id: "form-head" }),
      group("no_diving", "No diving", reasons),
      group("easy", "The day", [["yes", "Easy day, technique only"]]),
      group("hold", "The deep dive", [["yes", "Same depth again"]]),
      group("shallower", "Shallower by", rungs),
      group("lead", "Other main discipline", others),
      group("taxing", "After diving", [["yes", FIELDS.taxing]]),
      field("to", FIELDS.to, input("to", "", { type: "date", min: date, max: last }),
        "Everything said here holds until that day. Leave empty for one day."),
      field("note", FIELDS.note, input("note", "", { maxlength: limits.note?.max })),
      date <= localDay() && evening()),
  ];
}

// How hard the day itself was: the load of the weeks is calculated from it.
function evening() {
  return [
    h("h2", null, "In the evening"),
    h("p", { class: "hint" }, "About half an hour after the last dive. It moves no target."),
    WHOLE_DAY.map((name) => field(name, FIELDS[name], input(name, "", { inputmode: "numeric" }))),
  ];
}

// What the plan makes of it, and how to take it back.
/** @param {Slate} slate */
function does({ plan, sheet }) {
  const day = dayOf(plan, date);
  const deep = day?.dives.find((dive) => dive.role === "deep" && dive.done === null);
  const row = own();
  const ended = endOf(slate, date);
  return [
    h("h2", null, "The plan now"),
    !day && h("p", null, "This day is outside the season."),
    ended && [h("p", null, h("strong", null, ended.title)), h("p", { class: "over" }, sentence(ended.why))],
    !ended && day &&
      h("p", null, h("strong", null, deep ? `${diveName(deep)}, ${metres(deep.target_m)}` : DAYS[day.kind])),
    !ended && day && h("p", { class: "soft" }, sentence(deep?.why ?? day.why)),
    wordsFor(slate, date).filter((one) => one !== row).map((one) => h("div", null,
      h("p", null, `You said on ${longDay(one.fields.date)}: ${dayWords(one.fields, sheet)}.`),
      h("button", { type: "button", class: "button-quiet", click: () => end(one) }, "End this the day before"))),
    row && isSaid(row) && h("button", { type: "button", id: "take-back", click: takeBack }, "Take it back"),
  ];
}

/** @param {Fields} fields */
function fillIn(fields) {
  for (const box of document.querySelectorAll("#word-form input")) {
    const { name, type, value } = /** @type {HTMLInputElement} */ (box);
    const now = fields[fieldOf(name)];
    if (type === "checkbox") /** @type {any} */ (box).checked = value === "yes" ? Boolean(now) : String(now) === value;
    else if (box !== document.activeElement) /** @type {any} */ (box).value = now ?? "";
  }
}

function touched({ target: { name, type, checked, value } }) {
  clearTimeout(typing?.timer);
  typing = null;
  const faults = name === "to" && value ? faultsOf(value) : WHOLE_DAY.includes(name) ? wholeFaults(name, value) : [];
  if (showFaults(byId("word-form"), byId("form-head"), faults, FIELDS)) return null;
  const off = name in VALUE && VALUE[name] === Boolean ? false : null;
  const said = type === "checkbox" ? (checked ? VALUE[name](value) : off) : typedOf(name, value);
  return keep(() => sayOfDay(slate, date, { [fieldOf(name)]: said }));
}

function typedOf(name, text) {
  if (name === "note") return text;
  return text.trim() === "" ? null : WHOLE_DAY.includes(name) ? Number(text) : text;
}

function wholeFaults(name, text) {
  const bound = BOAT.limits?.[name];
  const value = typedOf(name, text);
  if (!bound || value === null || (Number.isInteger(value) && value >= bound.min && value <= bound.max)) return [];
  return [{ field: name, says: `must be a whole number from ${bound.min} to ${bound.max}, or nothing` }];
}

function faultsOf(to) {
  const most = slate.sheet.limits.day_range?.max;
  if (to < date) return [{ field: "to", says: "is before the day itself" }];
  if (most && to > dayAfter(date, most - 1)) return [{ field: "to", says: `is too late: at most ${most} days` }];
  return [];
}

function takeBack() {
  return keep(() => sayOfDay(slate, date, UNSAID));
}

// A word for several days that was said earlier ends with the day before this one.
/** @param {ShownRow} row */
function end({ record }) {
  return keep(() => save({ ...edit(record), fields: { to: dayAfter(date, -1) } }));
}

const edit = (record) => ({ kind: "day", record, user: slate.user?.id ?? null });

function keep(act) {
  pending += 1;
  saving = saving.then(act).catch((error) => {
    console.error(error);
    warn(NOT_SAVED);
  }).then(async () => {
    slate = await readSlate();
    pending -= 1;
    if (pending === 0) fillIn(own()?.fields ?? {});
  });
  return saving;
}

// The note is saved while it is typed, numbers when they are whole: a page that is left may not get the time.
function typed(event) {
  if (event.target.name !== "note" && !WHOLE_DAY.includes(event.target.name)) return;
  clearTimeout(typing?.timer);
  typing = { event, timer: event.target.name === "note" ? setTimeout(touched, TYPING_MS, event) : null };
}

function finishTyping() {
  if (typing) touched(typing.event);
}

function stay(event) {
  event.preventDefault(); // all is saved already
}

// Whichever link leads away, what was typed to the last letter is saved first.
async function leave(event) {
  const link = event.target.closest?.("a[href]");
  if (!link || event.ctrlKey || event.metaKey || event.shiftKey) return;
  finishTyping();
  if (pending === 0) return;
  event.preventDefault();
  await saving;
  location.assign(link.href);
}
