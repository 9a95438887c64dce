// Conditions and gear: which fields there are, what was typed of them, and what the last day at this site had.

/** The fields with a number, and the unit that stands behind it. @type {{ [name: string]: string }} */
export const UNITS = {
  visibility_m: "m", thermocline_m: "m", surface_c: "°C", bottom_c: "°C", lead_kg: "kg", neck_kg: "kg",
};
const CODES = ["current", "waves"];
const TEXTS = ["suit", "fins"];

/** All of them, in the order of the form. */
export const CONDITIONS = [...CODES, ...Object.keys(UNITS), ...TEXTS];

/** Whether a record says anything of them. @param {Fields} fields */
export function hasConditions(fields) {
  return CONDITIONS.some((name) => fields[name] !== undefined && fields[name] !== null && fields[name] !== "");
}

/**
 * The conditions and gear of a day; of the last earlier day at this site that has them, when the day has none yet.
 * Returns {from, fields}: `from` is that earlier day, null when they are the day's own.
 * @param {Pick<Slate, "rows" | "sheet" | "season">} slate @param {string} date
 */
export function conditionsOf({ rows, sheet, season }, date) {
  const times = season?.days_at?.length ? season.days_at : [[sheet?.first_day ?? "", date]];
  const isHere = (day) => day === date || times.some(([first, last]) => first <= day && day <= last);
  const days = rows.filter((row) => row.kind === "day" && !row.deleted && !row.damaged).map((row) => row.fields)
    .filter((fields) => fields.date <= date && isHere(fields.date) && hasConditions(fields));
  const last = days.at(-1);
  if (!last) return { from: null, fields: {} };
  const fields = Object.fromEntries(CONDITIONS.map((name) => [name, last[name]]));
  return last.date === date ? { from: null, fields } : { from: last.date, fields };
}
