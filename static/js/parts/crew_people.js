// Who is aboard today: ready or not, late, the deepest at which each may meet a diver; and who could come aboard.
import { h } from "../ui/dom.js";
import { input } from "../ui/fields.js";
import { show } from "../ui/words.js";
import { depth } from "./dive_check.js";

/**
 * @param {CrewDay} crew @param {any[]} members
 * @param {any} acts aboard(person, fields), board({person, name, guest}), leave(person), guest(name)
 */
export function crewPeople(crew, members, acts) {
  const here = new Set(crew.aboard.map(({ person }) => person));
  const others = [
    ...members.map(({ person, name }) => ({ person, name, guest: false })),
    ...crew.guests.map(({ record, fields }) =>
      ({ person: record, name: fields.name, guest: true, may_meet_m: fields.may_meet_m })),
  ].filter(({ person }) => !here.has(person));
  return h("section", { "aria-labelledby": "aboard-head" },
    h("h2", { id: "aboard-head" }, "Aboard today"),
    crew.aboard.length === 0 && h("p", null, "Nobody is on today's list yet."),
    h("ul", { class: "crew-plain" }, crew.aboard.map((one) => person(one, acts))),
    others.length > 0 && h("div", { class: "row", id: "crew-others" }, others.map((one) =>
      h("button", { type: "button", id: `board-${one.person}`, click: () => acts.board(one) },
        `Add ${one.name}${one.guest ? ", guest" : ""}`))),
    guestForm(acts));
}

function person(one, acts) {
  const { name, guest, ready, over } = one;
  const id = one.person;
  const change = (fields) => acts.aboard(id, fields);
  return h("li", { class: "sheet crew-person", "data-person": id },
    h("div", { class: "crew-line" },
      h("label", { class: "toggle" }, h("input", { type: "checkbox", id: `ready-${id}`, checked: ready && !over,
        disabled: over, change: (event) => change({ ready: event.target.checked }) }),
        h("span", null, over ? "Day over" : "Ready", h("span", { class: "visually-hidden" }, `: ${name}`))),
      h("p", null, h("strong", null, name), guest && " (guest)", h("br"), h("span", { class: "soft" }, aboutOf(one)))),
    h("details", { id: `about-${id}` }, h("summary", { id: `about-head-${id}` }, `Change ${name}`),
      meetField(one, change), lateField(one, change),
      h("div", { class: "row" },
        h("button", { type: "button", id: `over-${id}`, click: () => change({ over: !over }) },
          over ? "Day is not over" : "Day is over"),
        h("button", { type: "button", class: "button-quiet", id: `leave-${id}`, click: () => acts.leave(id) },
          "Not aboard"))));
}

function aboutOf({ may_meet_m, late_until }) {
  const meets = may_meet_m === null || may_meet_m === undefined ? "not a safety diver"
    : `may meet a diver at ${show(may_meet_m)} m at most`;
  return [meets, late_until && `from ${late_until} on`].filter(Boolean).join(", ");
}

function meetField({ person: id, may_meet_m }, change) {
  const says = h("p", { class: "fault", id: `meet-says-${id}`, role: "status" });
  const changed = (event) => {
    const metres = depth(event.target.value);
    if (metres !== null && !(metres > 0)) return (says.textContent = "A depth in metres, like 15, or nothing.");
    change({ may_meet_m: metres });
  };
  return h("div", { class: "field" }, h("label", { for: `meet-${id}` }, "May meet a diver at most at (m)"),
    h("p", { class: "hint" }, "What this person says of themselves. Empty: is not safety today."),
    input(`meet-${id}`, may_meet_m === null || may_meet_m === undefined ? "" : show(may_meet_m),
      { inputmode: "decimal", "aria-describedby": `meet-says-${id}`, change: changed }), says);
}

function lateField({ person: id, late_until }, change) {
  return h("div", { class: "field" }, h("label", { for: `late-${id}` }, "Late: not before"),
    h("input", { type: "time", id: `late-${id}`, value: late_until || null,
      change: (event) => change({ late_until: event.target.value || null }) }));
}

function guestForm(acts) {
  const submit = (event) => {
    event.preventDefault();
    const field = event.target.elements["guest-name"];
    const name = field.value.trim();
    if (!name) return field.focus();
    field.value = "";
    acts.guest(name);
  };
  return h("form", { id: "guest-form", novalidate: true, submit }, h("div", { class: "field" },
    h("label", { for: "guest-name" }, "A guest without an account"),
    h("p", { class: "hint" }, "By name only. The same name is the same guest."),
    input("guest-name", "", { maxlength: 80 })),
    h("p", null, h("button", { id: "add-guest" }, "Add the guest")));
}
