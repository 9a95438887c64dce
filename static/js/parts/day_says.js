// What a diver said of a day, in words, and saying it.
import { dayId, isEmpty, unsaid } from "../plan/day_word.js";
import { remove, save } from "../store/outbox.js";
import { count, dayMonth } from "../ui/words.js";

/** A word for a day: `no diving (sick), until 24 May`. @param {Fields} fields @param {Sheet} sheet */
export function dayWords(fields, sheet) {
  const { no_diving, hold, shallower, main, taxing, easy, not_ready, to } = fields;
  const why = (sheet?.no_diving?.[no_diving]?.says ?? no_diving ?? "").toLowerCase();
  return [
    no_diving && `no diving (${why})`,
    not_ready?.length > 0 && `no deep dive (${not_ready.map((code) => sheet?.not_ready?.[code] ?? code).join(", ")})`,
    easy && "easy day",
    hold && "same depth again",
    shallower && `${count(shallower, "rung")} shallower`,
    main && `${main} instead`,
    taxing && "too taxing to repeat tomorrow",
    to && `until ${dayMonth(to)}`,
  ].filter(Boolean).join(", ");
}

/**
 * Say this of a day; what was said before stays. A word that says nothing any more is deleted. Only what is said now is
 * sent: what another phone said of the same day meanwhile must not be overwritten.
 * @param {Slate} slate @param {string} date @param {Fields} some @returns {Promise<unknown>}
 */
export function sayOfDay({ user, rows }, date, some) {
  const record = dayId(user?.id, date);
  const known = rows.find((one) => one.record === record && !one.damaged);
  const row = known?.deleted ? null : known;
  const edit = { record, user: user?.id ?? null };
  if (row && isEmpty({ ...row.fields, ...some })) return remove(edit);
  return save({ ...edit, kind: "day", fields: { ...(known?.deleted && unsaid(known.fields)), date, ...some } });
}
