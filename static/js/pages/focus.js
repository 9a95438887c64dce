// The focus of each discipline: what it is, how the drills went, what was seen in the evening, and the next one.
import { dayAfter, instant, localDay } from "../clock.js";
import { BOAT } from "../labels.js";
import { sayOfDay } from "../parts/day_says.js";
import { ownWord } from "../plan/day_word.js";
import { focusHistory } from "../parts/focus_history.js";
import { cuesOf, focusOn, focusWords, focusesBefore, isLearned } from "../plan/focus.js";
import { clipsOf } from "../store/clips.js";
import { save } from "../store/outbox.js";
import { readSlate } from "../store/slate.js";
import { CHANGED, tellHere } from "../store/news.js";
import { warn } from "../ui/alarm.js";
import { byId, h, redraw } from "../ui/dom.js";
import { field, input, showFaults, toggles } from "../ui/fields.js";
import { DISCIPLINES, FIELDS, NOT_SAVED } from "../ui/words.js";
import { startBoat } from "./boat.js";

const asked = new URLSearchParams(location.search).get("discipline");
const TEXT = BOAT.limits?.text, NOTE = BOAT.limits?.note;

const forms = new Map(); // by discipline; drawn once, so that a sync never changes a form in use

startBoat(async (slate) => {
  const names = disciplines(slate);
  const clips = await clipsOf(slate.user).catch((error) => (console.error(error), []));
  redraw(byId("focus"), names.length === 0 ? h("p", null, "This phone has no season yet.")
    : [evening(slate), names.map((name) => part(slate, name, clips))]);
});

// The one that was asked for comes first.
/** @param {Slate} slate */
function disciplines({ sheet }) {
  const names = [...new Set([...Object.keys(sheet?.disciplines ?? {}),
    ...(sheet?.drill_sets ?? []).flat().map((drill) => drill.discipline)])];
  const known = asked in DISCIPLINES ? [asked] : [];
  return [...known, ...names.filter((name) => name !== asked)];
}

/** @param {Slate} slate @param {string} name @param {Clip[]} clips */
function part(slate, name, clips) {
  const now = focusOn(slate, name, slate.today);
  const coming = focusOn(slate, name, dayAfter(slate.today));
  const before = now ? focusesBefore(slate, now) : [];
  return h("section", { class: "sheet", "aria-labelledby": `focus-${name}` },
    h("h2", { id: `focus-${name}` }, `${name}, ${DISCIPLINES[name]}`),
    now ? h("p", { class: "focus-now" }, h("strong", null, focusWords(now.fields))) : h("p", null, "No focus yet."),
    coming && coming.record !== now?.record && h("p", null, "From tomorrow: ", h("strong", null,
      focusWords(coming.fields))),
    now && isLearned(slate.dives, now.record) && h("p", { class: "flag", id: `learned-${name}` },
      "It was there on most of the last filmed drills, on different days: a next focus is proposed."),
    now && focusHistory(slate, now, clips),
    nextFocus(name, !now),
    before.length > 0 && h("details", { id: `before-${name}` }, h("summary", null, `Earlier ones: ${before.length}`),
      before.map((focus) => focusHistory(slate, focus, clips, true))));
}

/** @param {string} name @param {boolean} open */
function nextFocus(name, open) {
  if (!forms.has(name)) forms.set(name, newForm(name, open));
  return forms.get(name);
}

/** @param {string} name @param {boolean} open */
function newForm(name, open) {
  const start = (from) => (event) => {
    event.preventDefault();
    return keep(name, from());
  };
  return h("details", { id: `next-${name}`, open },
    h("summary", null, "Set the next focus"),
    h("form", { id: `form-${name}`, novalidate: true, submit: start(localDay) },
      h("div", { id: `head-${name}` }),
      toggles("radio", `cue-${name}`, "Pick a cue", cuesOf(name), ""),
      field(`says-${name}`, "Or own words", input(`says-${name}`, "", { maxlength: TEXT?.max })),
      h("div", { class: "actions" },
        h("button", { class: "button-primary", id: `from-today-${name}` }, "From today"),
        h("button", { type: "button", id: `from-tomorrow-${name}`, click: start(() => dayAfter(localDay())) },
          "From tomorrow"))));
}

/** @param {string} name @param {string} from */
async function keep(name, from) {
  const form = byId(`form-${name}`);
  const data = new FormData(form);
  const says = String(data.get(`says-${name}`) ?? "").trim();
  const cue = says ? null : String(data.get(`cue-${name}`) ?? "") || null;
  const faults = says || cue ? [] : [{ field: `says-${name}`, says: "is missing: own words, or a cue" }];
  if (showFaults(form, byId(`head-${name}`), faults, { [`says-${name}`]: FIELDS.says })) return;
  try {
    const fields = { from, discipline: name, says, cue, logged_at: instant() };
    await save({ kind: "focus", fields, user: (await readSlate()).user?.id ?? null });
    form.reset();
    byId(`next-${name}`).open = false;
    tellHere(CHANGED);
    byId("focus-title").focus();
  } catch (error) {
    console.error(error);
    warn(NOT_SAVED);
  }
}

// What the diver saw on video today; it is kept with the day.
/** @param {Slate} slate */
function evening(slate) {
  const drills = slate.dives.filter((dive) => dive.date === slate.today && dive.role === "drill");
  const saw = ownWord(slate, slate.today)?.fields.saw ?? "";
  if (drills.length === 0 && !saw) return null;
  const submit = async (event) => {
    event.preventDefault();
    try {
      await sayOfDay(await readSlate(), slate.today, { saw: byId("saw").value.trim() });
      tellHere(CHANGED);
    } catch (error) {
      console.error(error);
      warn(NOT_SAVED);
    }
  };
  return h("form", { class: "sheet", id: "evening", novalidate: true, submit },
    field("saw", "What I saw on today's video", input("saw", saw, { maxlength: NOTE?.max }),
      "Then keep the focus, or pick the next one below."),
    h("div", { class: "actions" }, h("button", { id: "keep-saw" }, saw ? "Change it" : "Keep it"),
      saw && h("span", { class: "word" }, "kept")));
}
