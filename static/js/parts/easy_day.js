// The proposal of an easy day after a morning worse than usual: taken with one touch, or declined with its reason.
import { BOAT } from "../labels.js";
import { ownWord } from "../plan/day_word.js";
import { dayOf } from "../plan/lookups.js";
import { isProposed, worse } from "../plan/readiness.js";
import { warn } from "../ui/alarm.js";
import { byId, h } from "../ui/dom.js";
import { field, input } from "../ui/fields.js";
import { NOT_SAVED, show } from "../ui/words.js";
import { readSlate } from "../store/slate.js";
import { sayOfDay } from "./day_says.js";

let formInUse = null; // redrawing the page must lose neither what is typed nor what is said of it

/**
 * The proposal as an element; null when none is due. `then` is called when it was decided.
 * @param {Slate} slate @param {() => unknown} then
 */
export function easyDay(slate, then) {
  const found = worseToday(slate);
  if (found === null) return null;
  const words = `Worse than your usual: ${found.map(said).join(", ")}.`;
  if (formInUse?.words !== words) formInUse = { words, element: proposal(words, slate.today, then) };
  return formInUse.element;
}

function proposal(words, today, then) {
  const decide = async (fields) => {
    try {
      await sayOfDay(await readSlate(), today, fields);
      await then();
    } catch (error) {
      console.error(error);
      warn(NOT_SAVED);
    }
  };
  return h("section", { class: "news", id: "easy-day", "aria-labelledby": "easy-day-head" },
    h("h2", { id: "easy-day-head" }, "An easy day is proposed"),
    h("p", null, words),
    h("button", { type: "button", class: "button-primary", id: "take-easy", click: () => decide({ easy: true }) },
      "Make it an easy day"),
    h("form", { id: "not-easy", novalidate: true, submit: (event) => decline(event, decide) },
      field("not_easy_why", "Or keep the plan, and say why", input("not_easy_why", "")),
      h("button", { id: "keep-plan" }, "Keep the plan")));
}

/** The items of today's morning that are worse than usual; null when no easy day is proposed. @param {Slate} slate */
export function worseToday({ rows, sheet, plan, today, user }) {
  const morning = ownWord({ rows, user }, today)?.fields;
  const day = dayOf(plan, today);
  if (!morning || !sheet?.ready || day?.kind !== "deep" || day.done.length > 0) return null;
  const mornings = rows.filter((row) => row.kind === "day" && !row.deleted && !row.damaged).map((row) => row.fields);
  const found = worse(morning, mornings, Object.keys(BOAT.readiness ?? {}), sheet.ready);
  return isProposed(morning, found, sheet.ready) ? found : null;
}

function said({ item, value, usual }) {
  return `${BOAT.readiness[item].says.toLowerCase()} ${show(value)} (usual ${show(usual)})`;
}

// The reason stays with the day: whoever looks back can see why.
function decline(event, decide) {
  event.preventDefault();
  const why = byId("not_easy_why").value.trim();
  if (why) return decide({ not_easy_why: why });
  byId("not_easy_why-fault").replaceChildren(h("p", { class: "fault", role: "alert" }, "A reason is missing."));
  return byId("not_easy_why").focus();
}
