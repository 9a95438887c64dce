// The words of the pages, and how numbers and dates are written. Sentences about diving come with the ladder sheet.
import { dayAfter, localDay, localTime } from "../clock.js";
import { ROLES } from "../labels.js";

export const NOT_SAVED = "NOT saved. Everything you typed is still here: try again, or write it down.";

export { DAYS, DISCIPLINES, FIELDS, GOALS, ROLES, VERDICTS } from "../labels.js";

/** A number without needless zeros: 40, 72.5. */
export function show(number) {
  return String(Math.round(number * 100) / 100);
}

export function metres(depth_m) {
  return `${show(depth_m)} m`;
}

/** Seconds as a dive time or a pause: 2:05. @param {number} seconds */
export function minutes(seconds) {
  const whole = Math.max(0, Math.round(seconds));
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
}

/** Seconds of rest in whole minutes, rounded up: 8:54 looks like a time of day. */
export function restMinutes(seconds) {
  return `${Math.ceil(seconds / 60)} min`;
}

// Written out here: asking the browser for them loads its tables of all languages, before the first target is drawn.
const WEEKDAYS = ["Sunday", "Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday"];
const MONTHS = [
  "January",
  "February",
  "March",
  "April",
  "May",
  "June",
  "July",
  "August",
  "September",
  "October",
  "November",
  "December",
];

function dayWords(day) {
  const [year, month, date] = day.split("-").map(Number);
  return { weekday: WEEKDAYS[new Date(year, month - 1, date).getDay()], date, month: MONTHS[month - 1] };
}

export function longDay(day) {
  const { weekday, date, month } = dayWords(day);
  return `${weekday} ${date} ${month}`;
}

export function shortDay(day) {
  return `${dayWords(day).weekday.slice(0, 3)} ${dayMonth(day)}`;
}

export function dayMonth(day) {
  const { date, month } = dayWords(day);
  return `${date} ${month.slice(0, 3)}`;
}

/** A date as people say it on the day `today`: today, tomorrow, Mon 4 May. */
export function whenDay(day, today) {
  if (day === today) return "today";
  return day === dayAfter(today) ? "tomorrow" : shortDay(day);
}

export function whenMoment(ms) {
  const day = localDay(ms);
  return day === localDay() ? localTime(ms) : `${dayMonth(day)} ${localTime(ms)}`;
}

/** Bytes as people read them: 12 MB, 0.3 MB, 2 GB. */
export function megabytes(bytes) {
  const whole = bytes / 1_000_000;
  if (whole >= 1000) return `${Math.round(whole / 1000)} GB`;
  return `${whole < 10 ? Math.ceil(whole * 10) / 10 : Math.round(whole)} MB`;
}

export function count(number, singular, plural = `${singular}s`) {
  return `${number} ${number === 1 ? singular : plural}`;
}

/** `FIM deep dive`, `CWT drill`. @param {{ discipline?: string, role?: string }} dive */
export function diveName({ discipline, role }) {
  return `${discipline} ${ROLES[role] ?? role}`;
}

/** What stands out of a planned dive: deeper than the best, a goal that it reaches. @param {PlannedDive} dive */
export function standsOut({ best_says, reaches }) {
  return [best_says, reaches].filter(Boolean).join(", ");
}

export function signWords(signs, sheet) {
  return (signs ?? []).map((code) => sheet?.signs[code]?.says ?? code).join(", ");
}

/** Words of the rulebook as a sentence, with a capital and a full stop. */
export function sentence(words) {
  const text = words.charAt(0).toUpperCase() + words.slice(1);
  return /[.!?]$/.test(text) ? text : `${text}.`;
}
