// The words of the dive clock: names of dives and people, what a call says.
import { BOAT } from "../labels.js";
import { ROLES, metres, minutes } from "../ui/words.js";

/** The texts of the rulebook for the clock. */
export const TEXTS = BOAT.clock ?? {};

/** Numbers of the book, for a phone whose ladder sheet does not bring them. */
const NUMBERS = BOAT.numbers ?? {};

export const overdueNumbers = {
  overdue_share: NUMBERS["overdue.share"], overdue_least_s: NUMBERS["overdue.least_s"],
};

/** How long a diver is watched after surfacing: by the season's rules, else by the book. @param {Sheet} sheet */
export function watchSeconds(sheet) {
  return sheet?.numbers.watch_s ?? NUMBERS["clock.watch_s"];
}

/** @param {string} text @param {{ [name: string]: any }} values */
export function filled(text, values) {
  return text.replace(/\{(\w+)\}/g, (whole, name) => String(values[name] ?? whole));
}

/** @param {{ call: string, at_s: number }} call @param {number} watch */
export function callWords({ call, at_s }, watch) {
  return filled(TEXTS.calls?.[call] ?? call, { seconds: -at_s, watch });
}

/** `FIM deep dive, 44 m`, or what is known of it. */
export function diveWords({ discipline, role, target_m }) {
  const name = [discipline, ROLES[role] ?? role].filter(Boolean).join(" ");
  return [name || "Dive", target_m && metres(target_m)].filter(Boolean).join(", ");
}

/** @param {DiveClock} clock */
export function titleOf(clock) {
  return [clock.name, diveWords(clock)].filter(Boolean).join(": ");
}

/** Whole seconds as a time: an estimate is never rounded up to a second that has not come. */
export function clockTime(seconds) {
  return minutes(Math.floor(seconds));
}
