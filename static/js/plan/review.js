// The review of a block: its record, and the text that a diver may share.
import { namedId } from "./named_id.js";

/**
 * The id of a block's review: two phones without signal write the same record. Never change it: phones hold such ids.
 * @param {number | null | undefined} user @param {string} last_day
 */
export const reviewId = (user, last_day) => namedId("review", user ?? 0, last_day);

/**
 * What the diver wrote of a block: on this phone, or, when it is not here, as the answer has it.
 * @param {ShownRow[]} rows @param {Review} review
 */
export function written(rows, { last_day, well, change, record }) {
  const row = rows.find((one) => one.kind === "review" && !one.deleted && !one.damaged
    && (one.record === record || one.fields.date === last_day));
  const fields = row?.fields ?? { well, change };
  return { record: row?.record ?? record, well: fields.well ?? "", change: fields.change ?? "" };
}
