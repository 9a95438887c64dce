// What waits to be sent. A record and its operation are written in one transaction, or neither is.
// A row leaves this store in one place only: `acknowledge`, when an answer names its operation.
import { instant } from "../clock.js";
import { whenAll, write } from "./db.js";
import { newId } from "./ids.js";
import { STORES } from "./keys.js";
import { CHANGED, SAVED, tell } from "./news.js";

const SCHEMA = 1;
const same = (a, b) => JSON.stringify(a ?? null) === JSON.stringify(b ?? null);

/**
 * Save a new dive or clearance, or an edit of one; `draft` names the unfinished form that is removed with it.
 * @param {{ kind: string, record?: string, fields: Fields, user: any, draft?: string }} what
 */
export async function save({ kind, record = newId(), fields, user, draft }) {
  await change({ kind, record, user, draft }, (old, parked) => {
    const changed = old ? changedFields(old, parked, fields) : fields;
    return { fields: { ...old?.fields, ...fields }, deleted: false, action: "put", changed };
  });
  return record;
}

/**
 * Delete a record: it stays on the phone, marked as deleted, and can be restored.
 * @param {Edit} edit
 */
export function remove({ record, user }) {
  return change({ record, user }, (old, parked) => {
    const neverThere = !old || (parked.length > 0 && !old.rev);
    return { fields: old?.fields ?? {}, deleted: true, action: neverThere ? null : "delete", changed: {} };
  });
}

/**
 * Undo a deletion, with all fields.
 * @param {Edit} edit
 */
export function restore({ record, user }) {
  return change({ record, user },
    (old) => ({ fields: old.fields, deleted: false, action: "put", changed: old.fields }));
}

// The fields to send. A refused edit never reached the server: the next edit starts from what the server last knew.
/** @param {Row} old @param {ParkedOperation[]} parked @param {Fields} fields */
function changedFields(old, parked, fields) {
  const before = parked.length > 0 ? (old.known?.fields ?? {}) : old.deleted ? {} : old.fields;
  const after = { ...old.fields, ...fields };
  return Object.fromEntries(Object.entries(after).filter(([name, value]) => !same(value, before[name])));
}

/** @param {Edit} edit @param {(old: Row, parked: ParkedOperation[]) => Step} decide */
async function change({ kind, record, user, draft }, decide) {
  const op = newId();
  await write(STORES, ({ records, outbox, parked, kept }) => {
    whenAll({ old: records.get(record), refused: parked.index("record").getAll(record) }, ({ old, refused }) => {
      const { fields, deleted, action, changed } = decide(old, refused);
      const fresh = { conflict: [], known: null, rev: 0 };
      const row = { ...fresh, ...old, record, kind: kind ?? old?.kind ?? "dive", user, fields, deleted };
      records.put(row);
      for (const earlier of refused) parked.delete(earlier.op); // the new operation contains all that they contained
      if (draft) kept.delete(draft);
      if (!old) parked.delete(record); // a damaged row without a record id is parked under the id of its operation
      if (action === null || (action === "put" && Object.keys(changed).length === 0)) return;
      outbox.add(operation(row, { action, fields: changed }, op));
    });
  });
  tell(CHANGED);
  tell(SAVED);
}

/**
 * A row for the outbox: a change of this record, based on the version that the phone has.
 * @param {Row} row
 * @param {{ action: string, fields: Fields }} step
 * @param {string} [op]
 * @returns {Operation}
 */
export function operation({ user, kind, record, rev }, { action, fields }, op = newId()) {
  return { op, schema: SCHEMA, user, kind, record, action, fields, base: rev, made_at: instant() };
}

/**
 * The operation as it is sent: without the phone's own fields.
 * @param {Operation} row
 */
export function asSent({ op, schema, kind, record, action, fields, base, counter, made_at, feed }) {
  return { op, schema, kind, record, action, fields, base, counter, made_at, feed };
}

/**
 * Inside a write transaction: the only place in this app that removes rows from the outbox. It removes those that an
 * answer
 * names as stored or refused, and no others; refused rows are parked with their reasons. Returns the rows that stay.
 * @param {Pick<Stores, "outbox" | "parked">} stores
 * @param {Operation[]} waiting
 * @param {Result[]} results
 */
export function acknowledge({ outbox, parked }, waiting, results) {
  const answered = new Map(results.map((result) => [result.op, result]));
  return waiting.filter((row) => {
    const result = answered.get(row.op);
    if (!["stored", "refused"].includes(result?.status)) return true;
    if (result.status === "refused") parked.put({ ...row, faults: result.faults ?? [], parked_at: instant() });
    outbox.delete(row.counter);
    return false;
  });
}

/**
 * Park rows that cannot be sent, as they are: the diver sees them and can save them as a file.
 * @param {Operation[]} rows
 */
export async function parkDamaged(rows) {
  for (const row of rows) {
    const op = typeof row.op === "string" ? row.op : newId();
    await park({ ...row, op },
      [{ field: "", says: "This cannot be read any more: the phone's storage has damaged it" }]);
  }
}

/**
 * Park an operation that the server refuses even alone.
 * @param {Operation} row
 * @param {Fault[]} faults
 */
export async function park(row, faults) {
  await write(["outbox", "parked"], (stores) => {
    acknowledge(stores, [row], [{ op: row.op, status: "refused", faults }]);
  });
  tell(CHANGED);
}
