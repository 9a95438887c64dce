// The site of the season, read by its id: the emergency page must not wait for the log and the plan.
import { read } from "./db.js";
import { keyOf } from "./keys.js";
import { isObject, isOf } from "./rows.js";

/** Whether a row is a site that can be shown. @param {Row} row */
export function isSite(row) {
  return row?.kind === "site" && !row.deleted && !row.damaged && isObject(row.fields);
}

/** The row of the active season's site; null when the phone has none. @returns {Promise<Row | null>} */
export async function seasonSite() {
  const { user } = await read(["kept"], ({ kept }) => ({ user: kept.get("user") }));
  const { snapshot } = await read(["kept"], ({ kept }) => ({ snapshot: kept.get(keyOf.snapshot(user?.id)) }));
  const id = snapshot?.season?.site;
  if (typeof id !== "string") return null;
  const { row } = await read(["records"], ({ records }) => ({ row: records.get(id) }));
  return isSite(row) && isOf(user?.id, row) ? row : null;
}
