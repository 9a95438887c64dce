// Recording a doctor's clearance during a stand-down: who gave it and when. The phone checks the date, not the doctor.
import { dayAfter, localDay, localMoment } from "../clock.js";
import { BOAT } from "../labels.js";
import { writeRelaxed } from "../store/db.js";
import { CHANGED, tellHere } from "../store/news.js";
import { save } from "../store/outbox.js";
import { warn } from "../ui/alarm.js";
import { byId, caution, h } from "../ui/dom.js";
import { field, input, showFaults } from "../ui/fields.js";
import { FIELDS, NOT_SAVED, longDay, sentence } from "../ui/words.js";

const FIRST = "the first date that counts";

let formInUse = null; // redrawing the page must not lose what is typed into it
// the day of the event when the page was last drawn: a clearance of that day or earlier does not count
let since = null;

/**
 * The stand-down with what to do (unless the page says it), the clearances recorded, and the form if one is needed;
 * null without a stand-down.
 */
export function clearancePart({ plan, today, user, rows, kept }, saysCare = true) {
  const stop = plan.stand_down;
  if (!stop) return null;
  since = stop.since;
  return h("section", { class: "sheet ended", "aria-labelledby": "clearance-title" },
    h("h2", { id: "clearance-title", tabindex: "-1" }, "No diving"),
    h("p", { class: "over" }, sentence(stop.why)),
    saysCare && careOf(stop, today),
    recorded(rows.filter((row) => row.kind === "clearance" && !row.deleted && !row.damaged)),
    stop.needs_clearance && (formInUse ??= form(today, user, kept[draftOf(user)])));
}

// First aid comes first; on later days it is folded.
function careOf({ since: on, care }, today) {
  const says = caution(care, "What to do", "h3");
  return on === today ? says : h("details", null, h("summary", null, "What to do after such an event"), says);
}

function recorded(rows) {
  if (rows.length === 0) return null;
  return [
    h("h3", null, "Clearances recorded"),
    h("ul", { id: "clearances" }, rows.map(({ fields }) => h("li", null,
      `${longDay(fields.clearance)}, by ${fields.by}: `,
      h("strong", null, fields.clearance > since ? "counts" : "does not count"),
      fields.clearance > since ? "." : `: ${FIRST} is ${firstDay()}.`,
      fields.note && h("p", { class: "note" }, fields.note)))),
  ];
}

const firstDay = () => `${longDay(dayAfter(since))}, the day after it happened`;

const draftOf = (user) => `draft:${user?.id ?? ""}:clearance`;

/** @param {string} today @param {any} user @param {{ clearance: string, by: string, note?: string }} draft */
function form(today, user, draft) {
  const submit = (event) => keep(event, user);
  const typed = ({ currentTarget }) => keepDraft(Object.fromEntries(new FormData(currentTarget)), user);
  return h(
    "form",
    { id: "clearance-form", novalidate: true, submit, input: typed },
    h("h3", null, "Record a doctor's clearance"),
    h(
      "p",
      null,
      "Only after a doctor who knows diving has examined you and said that you may dive again. This record does not " +
        "replace the examination, and it does not shorten the days without diving.",
    ),
    h("div", { id: "clearance-head" }),
    field("clearance", FIELDS.clearance,
      input("clearance", firstDate(today, draft), { type: "date" })),
    field("by", FIELDS.by, input("by", draft?.by ?? "", { type: "text" }), "Name of the doctor."),
    field("note", FIELDS.note, input("note", draft?.note ?? "", { maxlength: BOAT.limits?.note?.max }),
      "What the doctor said about diving again. You may leave it empty."),
    h("button", { class: "button-primary" }, "Record the clearance"),
  );
}

// A date that does not count is no use the next time.
function firstDate(today, draft) {
  if (draft?.clearance > since) return draft.clearance;
  return today > since ? today : "";
}

// A half-filled form stays when the page is left, as the form of a dive does.
function keepDraft(typed, user) {
  writeRelaxed(["kept"], ({ kept }) => void kept.put(typed, draftOf(user))).catch((error) => console.error(error));
}

async function keep(event, user) {
  event.preventDefault();
  const data = new FormData(event.target);
  const note = String(data.get("note")).trim();
  const fields = { clearance: String(data.get("clearance")), by: String(data.get("by")).trim(), ...(note && { note }) };
  const faults = [];
  if (localMoment(fields.clearance, "12:00") === null) faults.push({ field: "clearance", says: "is missing" });
  else if (fields.clearance <= since)
    faults.push({ field: "clearance", says: `does not count: ${FIRST} is ${firstDay()}` });
  else if (fields.clearance > localDay())
    faults.push({ field: "clearance", says: "is in the future by this phone's clock" });
  if (!fields.by) faults.push({ field: "by", says: "is missing: the name of the doctor who cleared you" });
  if (showFaults(event.target, byId("clearance-head"), faults, FIELDS)) return;
  try {
    await save({ kind: "clearance", fields, user: user?.id ?? null, draft: draftOf(user) });
    formInUse = null;
    tellHere(CHANGED);
  } catch (error) {
    console.error(error);
    warn(NOT_SAVED);
  }
}
