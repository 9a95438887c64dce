// Closed days can be picked from a calendar; the days picked are added to the list as if they were typed.
import { byId, h } from "../ui/dom.js";

const list = byId("closed_days");

function picker(id, words) {
  return h("div", { class: "field" }, h("label", { for: id }, words), h("input", { type: "date", id }));
}

function add() {
  const [first, last] = [byId("closed-first"), byId("closed-last")];
  if (!first.value) return first.focus();
  const line = last.value && last.value !== first.value ? `${first.value} to ${last.value}` : first.value;
  list.value = [list.value.trimEnd(), line].filter(Boolean).join("\n");
  first.value = last.value = "";
  list.dispatchEvent(new Event("input", { bubbles: true }));
  first.focus();
}

// These fields have no names, so they are not sent with the form.
list.before(h("div", { class: "day-adder", role: "group", "aria-label": "Add closed days" },
  picker("closed-first", "Closed from"),
  picker("closed-last", "to, if more than one day"),
  h("button", { type: "button", id: "closed-add", click: add }, "Add to the list")));
