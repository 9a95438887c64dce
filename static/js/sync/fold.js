// How an answer of the server is merged into the phone's rows. Pure: rows in, rows out.
import { isOf } from "../store/rows.js";

/** The rows that this answer refuses. @param {Operation[]} waiting @param {Result[]} results */
export function refusedNow(waiting, results) {
  const refused = new Set(results.filter(({ status }) => status === "refused").map(({ op }) => op));
  return waiting.filter((row) => refused.has(row.op));
}

// A restored server may know less than it once sent to this phone: that is put aside until its whole feed was read.
/** @param {Row} row @returns {Row} */
function forget(row) {
  return { ...row, known: null, rev: 0, offer: row.offer ?? lastKnown(row) };
}

// The last version that the server is known to have had; null for a row that never reached it and waits in the outbox.
/** @param {Row} row @returns {Known} */
function lastKnown({ known, rev, fields, deleted }) {
  if (rev === 0) return null;
  return known && known.rev >= rev ? known : { rev, fields, deleted };
}

/**
 * The rows that this answer changes, with what the server now knows of them; the fields that the diver sees stay.
 * @param {Envelope} body
 * @param {{ waiting: Operation[], rows: Row[] }} found
 * @param {boolean} restored
 */
export function fold({ user, results, changes }, { waiting, rows }, restored) {
  const own = rows.filter((row) => isOf(user.id, row));
  const byId = new Map((restored ? own.map(forget) : own).map((row) => [row.record, row]));
  const changed = new Map(restored ? byId : []);
  const sentAs = new Map(waiting.map((row) => [row.op, row]));
  for (const result of results) {
    const sent = sentAs.get(result.op);
    const row = changed.get(sent?.record) ?? byId.get(sent?.record);
    if (!row || result.status !== "stored") continue;
    const conflict = [...new Set([...(row.conflict ?? []), ...(result.conflict ?? [])])];
    const known = result.as_sent ? withOwn(row.known, sent, result.rev) : row.known;
    changed.set(row.record, { ...row, user: user.id, rev: Math.max(row.rev, result.rev ?? 0), known, conflict });
  }
  for (const { record, kind, rev, deleted, fields } of changes) {
    const fresh = { record, kind, fields, deleted, rev: 0, known: null, conflict: [] };
    const row = changed.get(record) ?? byId.get(record) ?? fresh;
    if (row.known && row.known.rev > rev) continue; // another tab has already taken in a newer version
    changed.set(record, { ...row, user: user.id, rev: Math.max(row.rev, rev), known: { rev, fields, deleted } });
  }
  return changed.values();
}

// What the server has stored just as it was sent does not come again among the changes: the phone's own copy is that
// version.
/** @param {Known} known @param {Operation} sent @param {number} rev @returns {Known} */
function withOwn(known, { action, fields }, rev) {
  if (known && known.rev > rev) return known;
  return { rev, fields: { ...known?.fields, ...fields }, deleted: action === "delete" };
}

/**
 * The row as the diver sees it from now on: as the server knows it, if that is the newest version.
 * @param {Row} row
 * @returns {Row}
 */
export function shown(row) {
  if (!row.known || row.known.rev < row.rev) return row; // the change itself comes with a later page of changes
  return { ...row, fields: row.known.fields, deleted: row.known.deleted };
}
