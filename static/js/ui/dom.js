// Makes elements. Text enters the page as text nodes only: what a diver typed can never become markup.
const SVG = "http://www.w3.org/2000/svg";

function dress(element, attributes) {
  for (const [name, value] of Object.entries(attributes ?? {})) {
    if (value === null || value === undefined || value === false) continue;
    if (typeof value === "function") element.addEventListener(name, value);
    else element.setAttribute(name, value === true ? "" : String(value));
  }
  return element;
}

function fill(element, children) {
  element.append(...children.flat(Infinity)
    .filter((child) => child !== null && child !== undefined && child !== false));
  return element;
}

/** `h("p", {class: "soft", click: tapped}, "text", child, [more])`; a function as attribute is a listener. */
export function h(tag, attributes, ...children) {
  return fill(dress(document.createElement(tag), attributes), children);
}

export function svg(tag, attributes, ...children) {
  return fill(dress(document.createElementNS(SVG, tag), attributes), children);
}

export function put(place, ...children) {
  place.replaceChildren();
  return fill(place, children);
}

export function byId(id) {
  return /** @type {any} */ (document.getElementById(id));
}

/** Sentences as the caution panel of boat and shore pages; null when there are none. */
export function caution(sentences, head, level = "h2") {
  if (!sentences?.length) return null;
  const lines = sentences.map((sentence) => h("p", null, sentence));
  return h("section", { class: "caution", "aria-label": head ?? "Caution" }, head && h(level, null, head), lines);
}

/** Redraw part of the page; the focus, the unfolded parts and what was typed into a line stay as they were. */
export function redraw(place, ...children) {
  const focused = place.contains(document.activeElement) ? document.activeElement.id : null;
  const unfolded = [...place.querySelectorAll("details[open][id]")].map((part) => part.id);
  const typed = [...place.querySelectorAll("input[type=text][id], input:not([type])[id]")]
    .filter(({ value, defaultValue }) => value !== defaultValue).map(({ id, value }) => [id, value]);
  put(place, ...children);
  for (const id of unfolded) byId(id)?.setAttribute("open", "");
  for (const [id, value] of typed) if (byId(id)) byId(id).value = value;
  if (focused) byId(focused)?.focus({ preventScroll: true });
}
