// The diver's word for a day: its record's id, its fields before anything is said, and which words hold for a day.

/**
 * The id of the word for a day: two phones without signal write the same record, and the server merges its fields.
 * The rule: a UUID of version 8 (RFC 9562: the content is free), the day as YYYYMMDD, then the diver's number in hex:
 * 20260520-0000-8000-8000-00000000001f is what diver 31 says of 20 May 2026. Never change it: phones hold such ids.
 * @param {number} user @param {string} day
 */
export function dayId(user, day) {
  return `${day.replaceAll("-", "")}-0000-8000-8000-${(user ?? 0).toString(16).padStart(12, "0")}`;
}

/** What a word says before anything is said. @type {Fields} */
export const NOTHING = {
  to: null, no_diving: null, hold: false, shallower: null, main: null, taxing: false, note: "",
};

const BOUNDS = ["date", "to"]; // which days a word is for: by themselves they say nothing

/** Whether a word says nothing any more. @param {Fields} fields */
export function isEmpty(fields) {
  return !Object.entries(fields).some(([name, value]) => !BOUNDS.includes(name) && says(value));
}

function says(value) {
  return Array.isArray(value) ? value.length > 0 : Boolean(value) || value === 0; // an effort of 0 is one
}

/** What a word says, with nothing in the place of what it does not. @param {Fields} [fields] @returns {Fields} */
export function wordOf(fields) {
  return { ...NOTHING, ...fields };
}

/** The fields that take back all that a word says. @param {Fields} fields @returns {Fields} */
export function unsaid(fields) {
  return { ...Object.fromEntries(Object.keys(fields).map((name) => [name, null])), ...NOTHING };
}

/**
 * The word for this very day of the diver whose phone this is; undefined when none was said.
 * @param {Pick<Slate, "rows" | "user">} slate @param {string} day
 */
export function ownWord({ rows, user }, day) {
  const record = dayId(user?.id, day);
  return rows.find((row) => row.record === record && !row.deleted && !row.damaged);
}

/**
 * The words that hold for a day: its own, and those said for several days.
 * @param {Pick<Slate, "rows">} slate @param {string} day
 */
export function wordsFor({ rows }, day) {
  return rows.filter(({ kind, deleted, damaged, fields }) => kind === "day" && !deleted && !damaged
    && fields.date <= day && day <= (fields.to ?? fields.date));
}
