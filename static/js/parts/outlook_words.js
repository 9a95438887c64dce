// What the parts of the outlook share: tables, parts that unfold, and how a stretch of depths and a chance are written.
import { h } from "../ui/dom.js";
import { GOALS, dayMonth, metres, show } from "../ui/words.js";

/** A part of the page with its head. @param {string} id @param {string} title @param {...any} children */
export function sheet(id, title, ...children) {
  return h("section", { class: "sheet", id, "aria-labelledby": `${id}-head` },
    h("h2", { id: `${id}-head` }, title), children);
}

/** @param {string} id @param {string} summary @param {...any} children */
export function fold(id, summary, ...children) {
  return h("details", { id }, h("summary", null, summary), children);
}

/**
 * A table; the first cell of each row names it.
 * @param {string} caption @param {string[]} heads @param {any[][]} rows
 */
export function table(caption, heads, rows) {
  return h("table", null, h("caption", null, caption),
    h("thead", null, h("tr", null, heads.map((head) => h("th", { scope: "col" }, head)))),
    h("tbody", null, rows.map(([name, ...cells]) =>
      h("tr", null, h("th", { scope: "row" }, name), cells.map((cell) => h("td", null, cell))))));
}

/** Facts as pairs of words; what is null is left out. @param {[string, any][]} pairs */
export function facts(pairs) {
  return h("dl", { class: "outlook-facts" }, pairs.filter(([, value]) => value !== null).map(([name, value]) =>
    h("div", null, h("dt", null, name), h("dd", null, value))));
}

/** @param {{ from_m: number, to_m: number }} band */
export const depths = ({ from_m, to_m }) => `${show(from_m)} to ${show(to_m)}\u00a0m`; // no line ends before the m

/** @param {{ first_day: string, last_day: string }} days */
export const daysOf = ({ first_day, last_day }) => `${dayMonth(first_day)} to ${dayMonth(last_day)}`;

/** `Aim, 60 m`. @param {{ name: string, depth_m: number }} goal */
export function goalName({ name, depth_m }) {
  const words = GOALS[`${name}_m`] ?? name;
  return `${words.charAt(0).toUpperCase()}${words.slice(1)}, ${metres(depth_m)}`;
}

/** A share of the whole; never all of it, and never nothing. @param {number} chance */
export function percent(chance) {
  const whole = Math.round(chance * 100);
  if (whole < 1) return "under 1 %";
  return whole > 99 ? "over 99 %" : `${whole} %`;
}
