// The parts of a form for wet hands: large toggles, a number with a button to each side, and a fault beside its field.
import { byId, h } from "./dom.js";

/**
 * A field with its label; its faults appear below it.
 * @param {string} name
 * @param {string} label
 * @param {Child} control
 * @param {string} [hint]
 */
export function field(name, label, control, hint) {
  return h("div", { class: "field" },
    h("label", { for: name }, label),
    hint && h("p", { class: "hint", id: `${name}-hint` }, hint),
    control,
    h("div", { id: `${name}-fault` }));
}

export function input(name, value, attributes) {
  return h("input",
    { id: name, name, autocomplete: "off", "aria-describedby": `${name}-fault`, ...attributes, value: value || null });
}

/**
 * A typed number with a large button to each side; `step(text, sign)` gives the text after a step.
 * @param {string} name @param {any} control @param {(text: string, sign: number) => string} step @param {any[]} buttons
 */
export function stepper(name, control, step, [less, more]) {
  const move = (sign) => {
    control.value = step(control.value, sign);
    control.dispatchEvent(new Event("input", { bubbles: true }));
  };
  return h("div", { class: "stepper" },
    h("button", { type: "button", "aria-label": less.says, id: `${name}-less`, click: () => move(-1) }, less.sign),
    control,
    h("button", { type: "button", "aria-label": more.says, id: `${name}-more`, click: () => move(1) }, more.sign));
}

/**
 * A group of large toggles; `type` is radio (one choice) or checkbox (any number). `options` are [value, words].
 * @param {string} type @param {string} name @param {any} legend @param {any} options @param {any} chosen
 * @param {{ hint?: any, look?: string }} [choices]
 */
export function toggles(type, name, legend, options, chosen, { hint, look = "" } = {}) {
  return fieldset(name, legend, hint, look, row(type, name, options, chosen));
}

/**
 * Like `toggles`, in several parts with a title each: `parts` are [title, options].
 * @param {string} type @param {string} name @param {any} legend @param {any[]} parts @param {any} chosen
 * @param {{ hint?: any, look?: string }} [choices]
 */
export function toggleParts(type, name, legend, parts, chosen, { hint, look = "" } = {}) {
  return fieldset(name, legend, hint, look, parts.map(([title, options]) =>
    h("fieldset", { class: "toggle-part" }, h("legend", null, title), row(type, name, options, chosen))));
}

function fieldset(name, legend, hint, look, within) {
  return h("fieldset", { class: `toggles ${look}`, id: name, "aria-describedby": `${name}-fault`, tabindex: "-1" },
    h("legend", null, legend),
    hint && h("p", { class: "hint" }, hint),
    within,
    h("div", { id: `${name}-fault` }));
}

function row(type, name, options, chosen) {
  return h("div", { class: "toggle-row" }, options.map((option) => toggle(type, name, option, chosen)));
}

function toggle(type, name, [value, words], chosen) {
  const checked = Array.isArray(chosen) ? chosen.includes(value) : String(chosen) === String(value);
  return h("label", { class: "toggle" }, h("input", { type, name, value, checked }), h("span", null, words));
}

/**
 * Show each fault beside its field, and all of them at the top; returns whether there are any.
 * @param {Element} form
 * @param {Element} head
 * @param {Fault[]} faults
 * @param {{ [field: string]: string }} labels
 */
export function showFaults(form, head, faults, labels) {
  for (const place of form.querySelectorAll("[id$='-fault']")) place.replaceChildren();
  for (const marked of form.querySelectorAll("[aria-invalid]")) marked.removeAttribute("aria-invalid");
  head.replaceChildren();
  for (const { field: name, says } of faults) {
    byId(`${name}-fault`)?.append(h("p", { class: "fault" }, `${labels[name] ?? name} ${says}.`));
    byId(name)?.setAttribute("aria-invalid", "true");
    byId(name)?.closest("details")?.setAttribute("open", "");
  }
  if (faults.length > 0) head.append(summary(faults, labels));
  /** @type {HTMLElement} */ (head.firstElementChild)?.focus();
  return faults.length > 0;
}

function summary(faults, labels) {
  const words = (name, says) => `${labels[name] ?? name} ${says}.`;
  const go = (name) => (event) => {
    event.preventDefault();
    byId(name)?.focus();
  };
  return h("section", { class: "faults", role: "alert", tabindex: "-1", "aria-labelledby": "faults-head" },
    h("h2", { id: "faults-head" },
      faults.length === 1 ? "One thing needs a look" : `${faults.length} things need a look`),
    h("p", null, "Everything you typed is still here."),
    h("ul", null, faults.map(({ field: name, says }) =>
      h("li", null,
        byId(name) ? h("a", { href: `#${name}`, click: go(name) }, words(name, says)) : words(name, says)))));
}
