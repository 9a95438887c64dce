// The dive page: fill the form from the plan or from an unfinished form, save the dive, and show at once what it means.
import { localDay, localTime, now } from "../clock.js";
import { sayOfDay } from "../parts/day_says.js";
import { check } from "../parts/dive_check.js";
import { checkMore } from "../parts/dive_more.js";
import {
  askMore,
  askWhetherTypingError,
  asTyped,
  diveForm,
  isShort,
  refill,
  titleOf,
  typedIn,
  updateHints,
} from "../parts/dive_form.js";
import { withTurns } from "../parts/crew_late.js";
import { focusFields, updateFocus } from "../parts/focus_form.js";
import { aftermath, isGrave, isOver, signGone } from "../parts/dive_says.js";
import { isLighter } from "../parts/lighter.js";
import { noteLogged, ofClock, timedDive } from "../parts/timed_dive.js";
import { askToKeep } from "../parts/install.js";
import { wordsFor } from "../plan/day_word.js";
import { safetyOf } from "../parts/safety_diver.js";
import { dayOf, expectedSeconds, rungOf } from "../plan/lookups.js";
import { writeRelaxed } from "../store/db.js";
import { save } from "../store/outbox.js";
import { readSlate } from "../store/slate.js";
import { STATES } from "../store/states.js";
import { warn } from "../ui/alarm.js";
import { byId, caution, h, put } from "../ui/dom.js";
import { showFaults } from "../ui/fields.js";
import { FIELDS, NOT_SAVED, show, whenMoment } from "../ui/words.js";
import { startBoat } from "./boat.js";

const asked = new URLSearchParams(location.search);
const editing = asked.get("id");
let draftKey = null; // each diver of this phone has an unfinished form of their own

let page = null; // {slate, row, opened}: set once, so that an answer of the server never changes a form in use
let saving = false;

byId("to-signs").addEventListener("click", toSigns);

startBoat((slate) => {
  if (page) return;
  const row = editing ? slate.rows.find(({ record }) => record === editing) : null;
  if (editing && !row) return lost();
  page = { slate, row, opened: now() };
  begin();
});

function lost() {
  put(
    byId("dive"),
    h(
      "div",
      { class: "news" },
      h("p", null, "This dive is not on this phone."),
      h("p", null, h("a", { class: "button", href: "/boat/log" }, "To the log")),
    ),
  );
}

function begin() {
  const dive = editing ?? timed()?.id ?? (isPlanned(page.slate) ? "planned" : "new");
  draftKey = `draft:${page.slate.user?.id ?? ""}:${dive}`;
  const draft = page.slate.kept[draftKey];
  if (draft?.opened) page.opened = draft.opened;
  draw(draft?.typed ?? fresh());
  if (draft) say(draft);
  const faults = page.row?.faults ?? [];
  if (faults.length > 0) showFaults(byId("dive-form"), byId("form-head"), faults, FIELDS);
}

// The first values of the form: the dive of the list that was chosen, or the first open one; without a plan only date
// and time.
function fresh() {
  if (page.row) return asTyped(page.row.fields);
  const clock = timed();
  if (clock) {
    page.opened = clock.surfaced_ms; // exact to the second
    return asTyped(ofClock(clock));
  }
  const dive = plannedDive(page.slate);
  const { discipline, role, target_m } = dive ?? {};
  const moment = { date: localDay(page.opened), at: localTime(page.opened) };
  if (asked.has("role")) return asTyped({ ...moment, discipline, role: asked.get("role") });
  return asTyped({ ...moment, discipline, role, target_m, reached_m: target_m, ...preparedFor(dive) });
}

// Who was named as safety diver of a deep dive, and the line that its card asks for.
function preparedFor(dive) {
  if (dive?.role !== "deep") return {};
  const { plan, today, sheet } = page.slate;
  const safety = safetyOf(page.slate, dayOf(plan, today).dives.indexOf(dive));
  return safety ? { safety, line_m: rungOf(sheet, dive)?.card?.line_m } : {};
}

// The dive of the dive clock that the address names, or null.
function timed() {
  return timedDive(page.slate, asked.get("clock"));
}

// On a day that is over the rest of the list was cancelled: the form must not offer it.
function plannedDive({ plan, today }) {
  const chosen = asked.get("plan");
  const day = dayOf(plan, today);
  if (!day || day.over || plan.stand_down || chosen === "none") return null;
  return day.dives[chosen ?? -1] ?? day.dives.find((dive) => dive.done === null);
}

// Whether a dive of today's list was chosen: an unfinished form of an unplanned dive must not come in its place.
function isPlanned(slate) {
  return !["none", null].includes(asked.get("plan")) && plannedDive(slate) !== null;
}

// The depth of the open planned dive of this kind, as typed: "" when there is none.
function plannedDepth({ discipline, role }) {
  const { plan, today } = page.slate;
  const day = dayOf(plan, today);
  if (!day || day.over || plan.stand_down) return "";
  const dive = day.dives.find((open) => open.done === null && open.discipline === discipline && open.role === role);
  return dive ? show(dive.target_m) : "";
}

function expected(typed) {
  return expectedSeconds(page.slate.sheet, typed.discipline, Number(typed.target_m));
}

function draw(typed) {
  const { sheet, today } = page.slate;
  const hints = { today, expected_s: expected(typed) };
  page.hints = hints;
  page.filled = editing ? null : plannedDepth(typed);
  byId("dive-title").textContent = titleOf(typed, Boolean(editing));
  const form = h("form", { id: "dive-form", novalidate: true, submit: onSave, input: onTyped, change: onTyped },
    h("div", { id: "form-head" }), diveForm(typed, sheet, hints));
  put(byId("dive"), h("div", { id: "draft-news" }), form, caution(sheet?.cautions.log, null));
  ask(form);
  byId("thumb").hidden = false;
}

function say({ at }) {
  const startAfresh = async () => {
    await writeRelaxed(["kept"], ({ kept }) => void kept.delete(draftKey));
    page.opened = now();
    draw(fresh());
    byId("dive-title").focus();
  };
  put(byId("draft-news"), h("div", { class: "news" },
    h("p", null, `This form was left unfinished at ${whenMoment(at)}. It is as you left it.`),
    h("button", { type: "button", class: "button-quiet", id: "afresh", click: startAfresh }, "Start afresh")));
}

function onTyped({ type, target }) {
  const form = byId("dive-form");
  if (type === "change" && ["discipline", "role"].includes(target.name)) changeKind(form);
  page.hints.expected_s = expected(typedIn(form));
  updateHints(form, page.hints);
  ask(form);
  keepDraft();
}

function ask(form) {
  const { sheet, dives } = page.slate;
  const typed = typedIn(form);
  askWhetherTypingError(form, sheet);
  updateFocus(form, page.slate, typed, page.row?.fields);
  byId("lighter").hidden = !getsLighter(fieldsOf(typed).fields);
  askMore(typed, sheet, dives.some(({ id, role, date }) => role === "deep" && date === typed.date && id !== editing));
}

// When the diver chooses another kind of dive, the planned depth that was filled in must change with it.
function changeKind(form) {
  if (page.filled === null) return;
  const next = plannedDepth(typedIn(form));
  if (page.filled !== next) refill(form, page.filled, next);
  page.filled = next;
}

// What is typed as a record's fields, and its faults; a reason for turning is that of a turned dive only.
function fieldsOf(typed) {
  const { sheet } = page.slate;
  const turned_why = isShort(typed, sheet) ? typed.turned_why : "";
  // in the sheet's order, as the server keeps them: the words must not change places when the dive was sent
  const order = Object.keys(sheet?.signs ?? {});
  const signs = typed.signs.toSorted((one, other) => order.indexOf(one) - order.indexOf(other));
  const before = page.row?.fields;
  const dive = check({ ...typed, signs, turned_why, opened: page.opened }, sheet?.limits, before);
  const [more, faults] = checkMore(typed, before, dive.fields, sheet?.limits ?? {});
  return { fields: { ...dive.fields, ...more, ...focusFields(typed, before) }, faults: [...dive.faults, ...faults] };
}

function getsLighter(fields) {
  const { row, slate } = page;
  return Boolean(row && !row.damaged && isLighter(slate.sheet, row.fields, fields));
}

function toSigns(event) {
  event.preventDefault(); // a step in the history would stand between the form and the page before it
  byId("signs").scrollIntoView();
  byId("signs").focus({ preventScroll: true });
}

function keepDraft() {
  if (saving) return;
  const draft = { typed: typedIn(byId("dive-form")), opened: page.opened, at: now() };
  writeRelaxed(["kept"], ({ kept }) => void kept.put(draft, draftKey)).catch((error) => console.error(error));
}

async function onSave(event) {
  event.preventDefault();
  if (saving) return; // wet fingers touch twice
  const typed = typedIn(byId("dive-form"));
  const { fields, faults } = fieldsOf(typed);
  if (getsLighter(fields)) {
    fields.lighter_why = typed.lighter_why.trim();
    if (!fields.lighter_why) faults.unshift({ field: "lighter_why", says: "is missing: what was wrong before" });
  }
  if (showFaults(byId("dive-form"), byId("form-head"), faults, FIELDS)) return;
  saving = true;
  if (page.row?.fields.logged_by) Object.assign(fields, { confirmed: true }); // its diver has looked at it
  const user = page.slate.user?.id ?? null;
  try {
    const { slate } = page;
    const turn = editing ? null
      : await withTurns(slate.user, ({ turnToLog }) => turnToLog(slate, fields, timed()?.id));
    Object.assign(fields, turn?.logs);
    const record = await save({ kind: "dive", record: editing ?? turn?.dive, fields, user, draft: draftKey });
    noteLogged(slate, timed(), record);
    if (turn) withTurns(slate.user, ({ tellLogged }) => tellLogged(slate, turn));
    showSaved(record, fields);
  } catch (error) {
    console.error(error);
    warn(NOT_SAVED);
    saving = false;
  }
}

async function showSaved(record, fields) {
  put(byId("alarm"));
  byId("thumb").hidden = true;
  byId("dive-title").textContent = "Saved";
  byId("dive-title").focus();
  drawSaved(await readSlate(), record, fields);
  scrollTo(0, 0);
  askToKeep();
}

function drawSaved(slate, record, fields) {
  put(byId("dive"),
    h("p", { class: "saved", role: "status" }, `The dive is ${STATES.here}.`),
    lostSign(fields) && h("div", { class: "news" }, signGone("edit the dive and touch the sign again")),
    aftermath(slate, record, fields.date),
    tooTaxing(slate, record, fields),
    h("div", { class: "actions" },
      h("a", { class: "button button-primary", href: "/boat/today", id: "to-today" }, "Back to Today"),
      h("a", { class: "button", href: "/boat/dive" }, "Log another"),
      fields.role === "drill" &&
        h("a", { class: "button", href: `/boat/technique?dive=${record}` }, "Clips and figures"),
      h("a", { class: "button button-quiet", href: `/boat/dive?id=${encodeURIComponent(record)}` }, "Edit this dive")));
}

// After a deep dive one touch makes the next day easier; on a day that is over nothing is left to make easier.
function tooTaxing(slate, record, fields) {
  const { plan, today } = slate;
  if (fields.role !== "deep" || fields.date !== today || !dayOf(plan, today) || isOver(slate)) return null;
  if (wordsFor(slate, fields.date).some((row) => row.fields.taxing))
    return h("p", { id: "taxing", role: "status" }, "Noted: too taxing to repeat tomorrow. ",
      h("a", { href: `/boat/day?date=${fields.date}` }, "Change it"));
  const touched = async () => {
    try {
      await sayOfDay(slate, fields.date, { taxing: true });
      drawSaved(await readSlate(), record, fields);
      byId("taxing").querySelector("a").focus();
    } catch (error) {
      console.error(error);
      warn(NOT_SAVED);
    }
  };
  return h("p", { class: "actions" },
    h("button", { type: "button", id: "too-taxing", click: touched }, "Too taxing to repeat tomorrow"));
}

function lostSign(fields) {
  const { row, slate } = page;
  return row && !row.damaged && isGrave(row.fields, slate.sheet) && !isGrave(fields, slate.sheet);
}
