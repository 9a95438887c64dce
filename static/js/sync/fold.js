// How an answer of the server is folded into the phone's rows. Pure: rows in, rows out.
import { isOf } from "../store/rows.js";

/** The rows that this answer refuses. */
export function refusedNow(waiting, results) {
  const refused = new Set(results.filter((one) => one.status === "refused").map((one) => one.op));
  return waiting.filter((row) => refused.has(row.op));
}

// A restored server may be behind what it once told this phone: that is set aside until its whole feed was read.
function forget(row) {
  return { ...row, known: null, rev: 0, offer: row.offer ?? lastKnown(row) };
}

// What never reached the server is not among it: that waits in the outbox.
function lastKnown({ known, rev, fields, deleted }) {
  if (rev === 0) return null;
  return known && known.rev >= rev ? known : { rev, fields, deleted };
}

/** The rows that this answer changes, with what the server now knows of them; what the diver sees is left alone here. */
export function fold({ user, results, changes }, { waiting, rows }, restored) {
  const kin = rows.filter((row) => isOf(user.id, row));
  const byId = new Map((restored ? kin.map(forget) : kin).map((row) => [row.record, row]));
  const news = new Map(restored ? byId : []);
  const recordOf = new Map(waiting.map((row) => [row.op, row.record]));
  for (const result of results) {
    const row = news.get(recordOf.get(result.op)) ?? byId.get(recordOf.get(result.op));
    if (!row || result.status !== "stored") continue;
    const conflict = [...new Set([...(row.conflict ?? []), ...(result.conflict ?? [])])];
    news.set(row.record, { ...row, user: user.id, rev: Math.max(row.rev, result.rev ?? 0), conflict });
  }
  for (const { record, kind, rev, deleted, fields } of changes) {
    const fresh = { record, kind, fields, deleted, rev: 0, known: null, conflict: [] };
    const row = news.get(record) ?? byId.get(record) ?? fresh;
    if (row.known && row.known.rev > rev) continue; // another tab was faster
    news.set(record, { ...row, user: user.id, rev: Math.max(row.rev, rev), known: { rev, fields, deleted } });
  }
  return news.values();
}

/** The row as the diver sees it from now on: as the server knows it, once it knows all of it. */
export function shown(row) {
  if (!row.known || row.known.rev < row.rev) return row; // the change itself comes with a later page
  return { ...row, fields: row.known.fields, deleted: row.known.deleted };
}
