// The forms of the crew's day: one dive of the list, and what is set for the whole day.
import { h } from "../ui/dom.js";
import { field, input, toggles } from "../ui/fields.js";
import { DISCIPLINES, ROLES, minutes, show } from "../ui/words.js";
import { depth, seconds } from "./dive_check.js";

const MINUTE_S = 60;
const FORM = "crew-form";
const TURN = { person: "Who", discipline: "Discipline", role: "Kind of dive", depth_m: "Depth (m)",
  dive_s: "Expected dive time", pause_min: "Surface interval before it (min)", fixed_at: "Official time" };
const DAY = { starts_at: "Start", line_most_m: "The line is set at most to (m)", line_keeper: "Line keeper",
  boat: "Boat", clock: "Clock", site: "Site", note: "Note" };

/** A dive of the list. @param {any} turn @param {any[]} aboard @param {(fields: any) => void} done */
export function turnForm(turn, aboard, done, close) {
  const text = (name, value, hint, more) => field(name, TURN[name], input(name, value, more), hint);
  const timed = (value) => (value ? minutes(value) : "");
  const pause = turn.pause_s === null || turn.pause_s === undefined ? "" : show(turn.pause_s / MINUTE_S);
  return form(turn.id ? "Edit this dive" : "Add a dive", TURN, turnFields, done, close,
    people("person", TURN.person, aboard, turn.person, false),
    toggles("radio", "discipline", TURN.discipline, Object.keys(DISCIPLINES).map((code) => [code, code]),
      turn.discipline ?? ""),
    toggles("radio", "role", TURN.role, Object.entries(ROLES), turn.role ?? "deep"),
    text("depth_m", turn.depth_m ? show(turn.depth_m) : "", "", { inputmode: "decimal" }),
    text("dive_s", timed(turn.dive_s), "Like 2:05 or 125.", { inputmode: "decimal", placeholder: "m:ss" }),
    text("pause_min", pause, "Since this diver's last dive, by the rules that they keep.", { inputmode: "decimal" }),
    text("fixed_at", turn.fixed_at ?? "", "Only if the dive has one.", { type: "time" }));
}

/** What is set for the day. @param {any} day @param {any[]} aboard @param {(fields: any) => void} done */
export function dayForm(day, aboard, done, close) {
  const text = (name, more) => field(name, DAY[name], input(name, day[name], more));
  return form("This day", DAY, dayFields, done, close,
    text("starts_at", { type: "time" }),
    field("line_most_m", DAY.line_most_m, input("line_most_m", day.line_most_m ? show(day.line_most_m) : "",
      { inputmode: "decimal" }), "By the bottom, the boat and local rules. A deeper dive gets no place in the order."),
    ["line_keeper", "boat", "clock"].map((name) => people(name, DAY[name], aboard, day[name], true)),
    text("site", { maxlength: 80 }), text("note", { maxlength: 500 }));
}

function form(head, labels, read, done, close, ...parts) {
  const says = h("div", { id: `${FORM}-says`, role: "alert" });
  const submit = (event) => {
    event.preventDefault();
    const { fields, faults } = read((name) => String(new FormData(event.target).get(name) ?? "").trim());
    says.replaceChildren(...faults.map(([name, words]) => h("p", { class: "fault" }, `${labels[name]} ${words}.`)));
    if (faults.length === 0) return done(fields);
    /** @type {any} */ (document.getElementById(faults[0][0]))?.focus();
  };
  return h("section", { class: "sheet", "aria-labelledby": `${FORM}-head` },
    h("h2", { id: `${FORM}-head`, tabindex: "-1" }, head),
    h("form", { id: FORM, novalidate: true, submit }, parts, says,
      h("div", { class: "actions" }, h("button", { class: "button-primary", id: `${FORM}-save` }, "Save"),
        h("button", { type: "button", id: `${FORM}-close`, click: close }, "Cancel"))));
}

function people(name, label, aboard, chosen, mayBeNobody) {
  const known = mayBeNobody ? [{ person: "", name: "Not said" }, ...aboard] : aboard;
  return field(name, label, h("select", { id: name, name }, known.map((one) =>
    h("option", { value: one.person, selected: one.person === chosen }, one.name))));
}

function turnFields(typed) {
  const pause = depth(typed("pause_min"));
  const fields = { person: typed("person"), discipline: typed("discipline"), role: typed("role"),
    depth_m: depth(typed("depth_m")), dive_s: seconds(typed("dive_s")),
    pause_s: pause === null ? null : Math.round(pause * MINUTE_S), fixed_at: typed("fixed_at") || null };
  return { fields, faults: [
    !fields.person && ["person", "is missing: add somebody to the list first"],
    !fields.discipline && ["discipline", "is missing"],
    !(fields.depth_m > 0) && ["depth_m", "must be a depth in metres, like 40"],
    !(fields.dive_s > 0) && ["dive_s", "must be a time like 2:05"],
    !(fields.pause_s === null || fields.pause_s >= 0) && ["pause_min", "must be a number of minutes, or nothing"],
  ].filter(Boolean) };
}

function dayFields(typed) {
  const fields = { starts_at: typed("starts_at") || null, line_most_m: depth(typed("line_most_m")),
    line_keeper: typed("line_keeper") || null, boat: typed("boat") || null, clock: typed("clock") || null,
    site: typed("site"), note: typed("note") };
  const isDepth = fields.line_most_m === null || fields.line_most_m > 0;
  return { fields, faults: isDepth ? [] : [["line_most_m", "must be a depth in metres, or nothing"]] };
}
