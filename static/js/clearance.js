// Recording a doctor's clearance while a stand-down holds: who gave it and when. The phone only keeps what it is told.
import { warn } from "./boat.js";
import { localDay, localMoment } from "./clock.js";
import { byId, caution, h } from "./dom.js";
import { field, input, showFaults } from "./fields.js";
import { CHANGED, tellHere } from "./news.js";
import { save } from "./outbox.js";
import { FIELDS, NOT_SAVED, sentence } from "./words.js";

let standing = null; // the form in use: redrawing the page must not lose what is typed into it

/** The stand-down with its care, and the form when a clearance is needed; null when no stand-down holds. */
export function clearancePart({ plan, today, user }) {
  const stop = plan.stand_down;
  if (!stop) return null;
  return h("section", { class: "sheet ended", "aria-labelledby": "clearance" },
    h("h2", { id: "clearance", tabindex: "-1" }, "No diving"),
    h("p", { class: "over" }, sentence(stop.why)),
    caution(stop.care, "What to do", "h3"),
    stop.needs_clearance && (standing ??= form(today, user)));
}

function form(today, user) {
  const submit = (event) => keep(event, user);
  return h("form", { id: "clearance-form", novalidate: true, submit },
    h("h3", null, "Record a doctor's clearance"),
    h("p", null, "Only after a doctor who knows diving has examined you and said that you may dive again. This record does not replace it, and it does not shorten the days."),
    h("div", { id: "clearance-head" }),
    field("clearance", FIELDS.clearance, input("clearance", today, { type: "date" })),
    field("by", FIELDS.by, input("by", "", { type: "text" }), "Name of the doctor."),
    h("button", { class: "button-primary" }, "Record the clearance"));
}

async function keep(event, user) {
  event.preventDefault();
  const data = new FormData(event.target);
  const fields = { clearance: String(data.get("clearance")), by: String(data.get("by")).trim() };
  const faults = [];
  if (localMoment(fields.clearance, "12:00") === null) faults.push({ field: "clearance", says: "is missing" });
  else if (fields.clearance > localDay()) faults.push({ field: "clearance", says: "lies in the future by this phone's clock" });
  if (!fields.by) faults.push({ field: "by", says: "is missing: who cleared it" });
  if (showFaults(event.target, byId("clearance-head"), faults, FIELDS)) return;
  try {
    await save({ kind: "clearance", fields, user: user?.id ?? null });
    standing = null;
    tellHere(CHANGED);
  } catch (error) {
    console.error(error);
    warn(NOT_SAVED);
  }
}
