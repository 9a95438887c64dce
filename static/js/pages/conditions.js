// Conditions and gear of a day, filled in from the last day at this site.
import { localDay, localMoment } from "../clock.js";
import { checkConditions, conditionFields, conditionsTyped } from "../parts/conditions_form.js";
import { sayOfDay } from "../parts/day_says.js";
import { CONDITIONS, conditionsOf } from "../plan/conditions.js";
import { ownWord } from "../plan/day_word.js";
import { writeRelaxed } from "../store/db.js";
import { readSlate } from "../store/slate.js";
import { warn } from "../ui/alarm.js";
import { byId, h, put } from "../ui/dom.js";
import { showFaults } from "../ui/fields.js";
import { FIELDS, NOT_SAVED, longDay } from "../ui/words.js";
import { startBoat } from "./boat.js";

const asked = new URLSearchParams(location.search).get("date");
const date = asked && localMoment(asked, "12:00") !== null ? asked : localDay();

let slate = null; // set once: an answer of the server never changes a form in use
let saving = false;

startBoat((now) => {
  if (slate) return;
  slate = now;
  byId("day").textContent = longDay(date);
  const { from, fields } = conditionsOf(now, date);
  const draft = now.kept[draftKey()];
  put(byId("conditions"),
    from && h("div", { class: "news", id: "filled-in" },
      h("p", null, `Filled in from ${longDay(from)}, the last day at this site. Change what is different, then save.`)),
    h("form", { id: "conditions-form", novalidate: true, submit: keep, input: keepDraft, change: keepDraft },
      h("div", { id: "form-head" }), conditionFields(draft ?? conditionsTyped(fields))));
  byId("thumb").hidden = false;
});

const draftKey = () => `draft:${slate.user?.id ?? ""}:conditions:${date}`;

function typedNow() {
  const data = new FormData(byId("conditions-form"));
  return Object.fromEntries(CONDITIONS.map((name) => [name, String(data.get(name) ?? "")]));
}

function keepDraft() {
  const typed = typedNow();
  writeRelaxed(["kept"], ({ kept }) => void kept.put(typed, draftKey())).catch((error) => console.error(error));
}

async function keep(event) {
  event.preventDefault();
  if (saving) return; // wet fingers touch twice
  const [fields, faults] = checkConditions(typedNow(), ownWord(slate, date)?.fields);
  if (showFaults(byId("conditions-form"), byId("form-head"), faults, FIELDS)) return;
  saving = true;
  try {
    if (Object.keys(fields).length > 0) await sayOfDay(await readSlate(), date, fields);
    await writeRelaxed(["kept"], ({ kept }) => void kept.delete(draftKey()));
    byId("thumb").hidden = true;
    byId("conditions-title").focus();
    put(byId("conditions"), h("p", { class: "saved", role: "status" }, "Saved here."),
      h("p", { class: "actions" }, h("a", { class: "button button-primary", href: "/boat/today" }, "To Today")));
  } catch (error) {
    console.error(error);
    warn(NOT_SAVED);
    saving = false;
  }
}
