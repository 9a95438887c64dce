// Proposals of a coach: which there are, which still wait for an answer, and what each says.
import { BOAT } from "../labels.js";
import { metres, show, whenDay } from "../ui/words.js";

/**
 * The proposals among these rows, the newest day first.
 * @param {{ kind: string, record: string, fields: Fields, deleted?: boolean, damaged?: boolean,
 *   waiting?: boolean }[]} rows
 */
export function proposalsIn(rows) {
  const order = ({ fields, record }) => `${fields.date} ${fields.logged_at ?? ""} ${record}`;
  return rows.filter(({ kind, deleted, damaged }) => kind === "proposal" && !deleted && !damaged)
    .sort((one, other) => (order(one) < order(other) ? 1 : -1));
}

/** Whether it can only make a day easier, so that it holds before it is answered. @param {Fields} fields */
export const isEasier = ({ what }) => Boolean(BOAT.proposal?.[what]?.easier);

/**
 * Whether it still waits for an answer: what was for days that are over does not.
 * @param {Fields} fields @param {string} today
 */
export function isOpen(fields, today) {
  return !fields.answer && !(isEasier(fields) && (fields.to || fields.date) < today);
}

/** What is proposed, in words: `Not deeper than 36 m (FIM)`. @param {Fields} fields */
export function proposalWords({ what, discipline, depth_m, setting, value }) {
  const says = BOAT.proposal?.[what]?.says ?? what;
  const of = discipline ? ` (${discipline})` : "";
  if (what === "cap") return `${says} ${metres(depth_m)}${of}`;
  if (what === "setting") return `${says}: ${settingWords(setting, value)}`;
  return `${says}${of}`;
}

/** A setting with its value: `Step between two depths, 2 m`. @param {string} setting @param {number} value */
export function settingWords(setting, value) {
  const { says = setting, unit = "" } = BOAT.proposal_setting?.[setting] ?? {};
  return `${says.toLowerCase()}, ${show(value)} ${unit}`.trim();
}

/** The days of a proposal: `today`, `from tomorrow until Mon 4 May`. @param {Fields} fields @param {string} today */
export function proposalDays({ what, date, to }, today) {
  if (what === "comment") return "";
  const from = what === "setting" || what === "focus" ? `from ${whenDay(date, today)}` : whenDay(date, today);
  return to && to !== date ? `from ${whenDay(date, today)} until ${whenDay(to, today)}` : from;
}
