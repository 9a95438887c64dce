// How ready the diver feels in the morning: four items against the own median, and what rules out a deep dive today.
import { BOAT } from "../labels.js";
import { sayOfDay } from "../parts/day_says.js";
import { easyDay } from "../parts/easy_day.js";
import { isHidden, targetWords } from "../parts/safety_diver.js";
import { ownWord, wordOf } from "../plan/day_word.js";
import { dayOf } from "../plan/lookups.js";
import { before, median } from "../plan/readiness.js";
import { readSlate } from "../store/slate.js";
import { warn } from "../ui/alarm.js";
import { byId, caution, h, put } from "../ui/dom.js";
import { field, input, showFaults, toggles } from "../ui/fields.js";
import { DAYS, FIELDS, NOT_SAVED, diveName, longDay, sentence, show } from "../ui/words.js";
import { startBoat } from "./boat.js";

const ITEMS = Object.entries(BOAT.readiness ?? {});
const { min: BEST = 1, max: WORST = 0 } = BOAT.limits?.readiness ?? {};
const NOTE = BOAT.limits?.note;

let slate = null; // set once: an answer of the server never changes a form in use
let saving = false;

startBoat((now) => {
  if (slate) return;
  slate = now;
  byId("day").textContent = longDay(now.today);
  put(byId("ready"), form(ownWord(now, now.today)?.fields ?? {}));
  byId("thumb").hidden = false;
});

/** @param {Fields} said */
function form(said) {
  const out = Object.entries(BOAT.not_ready ?? {}).map(([code, { says }]) => [code, sentence(says).slice(0, -1)]);
  return h("form", { id: "ready-form", novalidate: true, submit: keep },
    h("div", { id: "form-head" }),
    ITEMS.map(([item, words]) => scale(item, words, said)),
    toggles("checkbox", "not_ready", "No deep dive today with any of these", out, said.not_ready ?? [],
      { hint: "Touch none if there is none." }),
    caution(slate.sheet?.cautions.today, null),
    h("details", { class: "sheet", id: "more-ready", open: Boolean(said.ate_at || said.body_note) },
      h("summary", null, "Last meal, and what else your body says"),
      field("ate_at", FIELDS.ate_at, input("ate_at", said.ate_at, { type: "time" })),
      field("body_note", FIELDS.body_note, input("body_note", said.body_note, { maxlength: NOTE?.max }),
        "Cycle, old injuries, anything you want to find again. You may leave it empty.")));
}

function scale(item, { says, best, worst }, said) {
  const numbers = Array.from({ length: WORST - BEST + 1 }, (_, index) => [BEST + index, BEST + index]);
  const hint = `${BEST} ${best} … ${WORST} ${worst}${usual(item)}`;
  return toggles("radio", item, says, numbers, said[item] ?? "", { hint, look: "scale" });
}

// The diver's own median beside the scale, once there are enough mornings for one.
function usual(item) {
  const ready = slate.sheet?.ready;
  const values = ready ? before(mornings(slate), slate.today, item, ready.days) : [];
  return ready && values.length >= ready.least ? ` · your usual ${show(median(values))}` : "";
}

/** @param {Slate} now @returns {Fields[]} */
function mornings(now) {
  return now.rows.filter((row) => row.kind === "day" && !row.deleted && !row.damaged).map((row) => row.fields);
}

async function keep(event) {
  event.preventDefault();
  if (saving) return; // wet fingers touch twice
  const data = new FormData(byId("ready-form"));
  const text = (name) => String(data.get(name) ?? "");
  const scales = Object.fromEntries(ITEMS.map(([item]) => [item, text(item) === "" ? null : Number(text(item))]));
  const fields = {
    ...scales, not_ready: data.getAll("not_ready").map(String), ate_at: text("ate_at") || null,
    body_note: text("body_note").trim(),
  };
  const tooLong = NOTE && fields.body_note.length > NOTE.max;
  const faults = tooLong ? [{ field: "body_note", says: `is too long: at most ${NOTE.max} characters` }] : [];
  if (showFaults(byId("ready-form"), byId("form-head"), faults, FIELDS)) return;
  saving = true;
  try {
    const some = changed(fields);
    if (Object.keys(some).length > 0) await sayOfDay(slate, slate.today, some);
    await drawSaved();
  } catch (error) {
    console.error(error);
    warn(NOT_SAVED);
    saving = false;
  }
}

// Only what was said now: what nobody touched must not overwrite what another phone said.
function changed(fields) {
  const known = wordOf(ownWord(slate, slate.today)?.fields);
  const isSame = (name) => JSON.stringify(known[name] ?? empty(fields[name])) === JSON.stringify(fields[name]);
  return Object.fromEntries(Object.entries(fields).filter(([name]) => !isSame(name)));
}

function empty(value) {
  return Array.isArray(value) ? [] : value === "" || typeof value === "string" ? "" : null;
}

async function drawSaved() {
  slate = await readSlate();
  byId("thumb").hidden = true;
  byId("ready-title").focus();
  put(byId("alarm"));
  put(byId("ready"),
    h("p", { class: "saved", role: "status" }, "Saved here."),
    easyDay(slate, drawSaved),
    effect(slate),
    h("div", { class: "actions" },
      h("a", { class: "button button-primary", href: "/boat/today", id: "to-today" }, "To Today"),
      h("a", { class: "button button-quiet", href: "/boat/ready" }, "Change it")));
  scrollTo(0, 0);
}

// What the plan makes of this morning.
/** @param {Slate} now */
function effect(now) {
  const day = dayOf(now.plan, now.today);
  if (!day) return null;
  const index = day.dives.findIndex((dive) => dive.role === "deep" && dive.done === null);
  const deep = day.dives[index];
  return h("section", { class: "sheet", "aria-labelledby": "effect" },
    h("h2", { id: "effect" }, "The plan now"),
    h("p", null, h("strong", null, deep ? `${diveName(deep)}, ${targetWords(now, deep, index)}` : DAYS[day.kind])),
    !(deep && isHidden(now, deep, index)) && h("p", { class: "soft" }, sentence(deep?.why ?? day.why)));
}
