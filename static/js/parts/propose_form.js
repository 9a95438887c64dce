// The form of a coach: a cap, an easy day, a focus, a changed setting, a comment on a dive.
import { instant, localDay } from "../clock.js";
import { BOAT } from "../labels.js";
import { saveIn } from "../store/feeds.js";
import { keyOf } from "../store/keys.js";
import { CHANGED, tellHere } from "../store/news.js";
import { warn } from "../ui/alarm.js";
import { byId, h } from "../ui/dom.js";
import { field, input, showFaults, toggles } from "../ui/fields.js";
import { DISCIPLINES, NOT_SAVED, sentence } from "../ui/words.js";
import { depth } from "./dive_check.js";
import { lastWords } from "./student_card.js";

const NEEDED = { cap: ["depth_m", "says"], easy: ["says"], focus: ["discipline", "says"], setting: ["setting", "value"],
  comment: ["dive", "says"] };
const PARTS = { cap: ["to", "depth_m", "discipline"], easy: ["to"], focus: ["discipline"],
  setting: ["setting", "value"], comment: ["dive"] };
const LABELS = { date: "From", to: "Until", depth_m: "Not deeper than", discipline: "Discipline", setting: "Setting",
  value: "New value", dive: "Dive", says: "Words to the student" };

/** @param {any} student @param {any[]} dives @param {Slate} slate */
export function proposeForm(student, dives, slate) {
  const { feed } = student.feed;
  const form = h("form", { id: "propose", novalidate: true, change: () => show(form),
    submit: (event) => (event.preventDefault(), keep(form, feed, slate)) },
  h("h3", null, "Propose a change"),
  h("div", { id: "propose-head" }),
  toggles("radio", "what", "What do you propose?", Object.entries(BOAT.proposal ?? {})
    .map(([code, { says }]) => [code, says]), "cap"),
  part("date", field("date", LABELS.date, input("date", localDay(), { type: "date" }))),
  part("to", field("to", LABELS.to, input("to", "", { type: "date" }), "Leave empty for one day.")),
  part("depth_m", field("depth_m", `${LABELS.depth_m} (m)`, input("depth_m", "", { inputmode: "decimal" }))),
  part("discipline", field("discipline", LABELS.discipline, choice("discipline", "Any", Object.entries(DISCIPLINES)))),
  part("setting", field("setting", LABELS.setting, choice("setting", "Choose",
    Object.entries(BOAT.proposal_setting ?? {}).map(([code, { says, unit }]) => [code, `${says} (${unit})`])))),
  part("value", field("value", LABELS.value, input("value", "", { inputmode: "decimal" }), " ")),
  part("dive", field("dive", LABELS.dive, choice("dive", "Choose", dives.map((dive) =>
    [dive.id, lastWords(dive, student.today)])))),
  field("says", LABELS.says, input("says", "", { maxlength: BOAT.limits?.note?.max })),
  h("p", { class: "small" }, "A cap or an easy day holds as soon as it arrives. Your student can take it off."),
  h("div", { class: "actions" }, h("button", { class: "button-primary", id: "send-proposal" }, "Propose it")));
  show(form);
  return form;
}

const part = (name, ...children) => h("div", { "data-part": name }, children);

function choice(name, none, options) {
  return h("select", { id: name, name, "aria-describedby": `${name}-fault` }, h("option", { value: "" }, none),
    options.map(([value, words]) => h("option", { value }, words)));
}

function show(form) {
  const what = String(new FormData(form).get("what"));
  for (const one of form.querySelectorAll("[data-part]")) {
    const name = one.getAttribute("data-part");
    one.hidden = !(PARTS[what]?.includes(name) || (name === "date" && what !== "comment"));
  }
  const asked = BOAT.proposal_setting?.[form.elements.setting.value];
  form.querySelector("#value-hint").textContent = asked ? `${sentence(rangeOf(asked))}` : "";
}

const rangeOf = ({ min, max, unit, whole }) => `${whole ? "a whole number " : ""}from ${min} to ${max} ${unit}`;

/** @param {Fields} fields @returns {Fault[]} */
function outside({ setting, value }) {
  const asked = BOAT.proposal_setting?.[setting];
  if (!asked || value === null || Number.isNaN(value)) return [];
  const fits = value >= asked.min && value <= asked.max && (!asked.whole || Number.isInteger(value));
  return fits ? [] : [{ field: "value", says: `must be ${rangeOf(asked)}` }];
}

/** @param {HTMLFormElement} form @returns {Fields} */
function typed(form) {
  const data = new FormData(form);
  const text = (name) => String(data.get(name) ?? "").trim();
  const what = text("what");
  const own = (name) => (PARTS[what].includes(name) ? text(name) || null : null);
  const number = (name) => (own(name) === null ? null : depth(own(name)));
  return { date: what === "comment" ? localDay() : text("date"), to: own("to"), what, discipline: own("discipline"),
    depth_m: number("depth_m"), says: text("says"), setting: own("setting"), value: number("value"),
    dive: own("dive") };
}

/** @param {Fields} fields @returns {Fault[]} */
function faultsOf(fields) {
  const { min = 0, max = Infinity } = BOAT.limits?.depth_m ?? {};
  const missing = ["date", ...NEEDED[fields.what]].filter((name) => fields[name] === null || fields[name] === "")
    .map((field) => ({ field, says: "is missing" }));
  const wrong = ["depth_m", "value"].filter((name) => Number.isNaN(fields[name]))
    .map((field) => ({ field, says: "must be a number" }));
  const far = fields.depth_m !== null && (fields.depth_m < min || fields.depth_m > max)
    ? [{ field: "depth_m", says: `must be from ${min} to ${max} m` }] : [];
  const back = fields.to && fields.to < fields.date ? [{ field: "to", says: "is before the first day" }] : [];
  return [...missing, ...wrong, ...far, ...outside(fields), ...back];
}

async function keep(form, feed, { user, kept }) {
  const fields = typed(form);
  if (showFaults(form, byId("propose-head"), faultsOf(fields), LABELS)) return;
  try {
    const more = { by: user?.name ?? "", by_person: kept[keyOf.person(user?.id)] ?? null, logged_at: instant() };
    await saveIn({ feed, kind: "proposal", fields: { ...fields, ...more }, user });
    form.reset();
    show(form);
    tellHere(CHANGED);
    byId("coach-title").focus();
  } catch (error) {
    console.error(error);
    warn(NOT_SAVED);
  }
}
