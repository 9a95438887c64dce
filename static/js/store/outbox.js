// What waits to be sent. A record and its operation are written in one transaction, or neither is.
// A row leaves this store in one place only: `acknowledge`, when an answer names its operation.
import { instant } from "../clock.js";
import { whenAll, write } from "./db.js";
import { newId } from "./ids.js";
import { STORES } from "./keys.js";
import { CHANGED, SAVED, tell } from "./news.js";

const SCHEMA = 1;
const same = (a, b) => JSON.stringify(a ?? null) === JSON.stringify(b ?? null);

/** Save a new dive or clearance, or an edit of one; `draft` names the half-filled form that this ends. */
export async function save({ kind, record = newId(), fields, user, draft }) {
  await change({ kind, record, user, draft }, (old, parked) => {
    const changed = old ? changedFields(old, parked, fields) : fields;
    return { fields: { ...old?.fields, ...fields }, deleted: false, action: "put", changed };
  });
  return record;
}

/** Delete a record: it stays on the phone, marked, and can be restored. */
export function remove({ record, user }) {
  return change({ record, user }, (old, parked) => {
    const neverThere = !old || (parked.length > 0 && !old.rev);
    return { fields: old?.fields ?? {}, deleted: true, action: neverThere ? null : "delete", changed: {} };
  });
}

/** Take a deletion back, all fields with it. */
export function restore({ record, user }) {
  return change({ record, user }, (old) => ({ fields: old.fields, deleted: false, action: "put", changed: old.fields }));
}

// What was refused never reached the server: an edit then starts from what the server last knew.
function changedFields(old, parked, fields) {
  const from = parked.length > 0 ? (old.known?.fields ?? {}) : old.deleted ? {} : old.fields;
  const meant = { ...old.fields, ...fields };
  return Object.fromEntries(Object.entries(meant).filter(([name, value]) => !same(value, from[name])));
}

async function change({ kind, record, user, draft }, decide) {
  const op = newId();
  await write(STORES, ({ records, outbox, parked, kept }) => {
    whenAll({ old: records.get(record), refused: parked.index("record").getAll(record) }, ({ old, refused }) => {
      const { fields, deleted, action, changed } = decide(old, refused);
      const row = { conflict: [], known: null, rev: 0, ...old, record, kind: kind ?? old?.kind ?? "dive", user, fields, deleted };
      records.put(row);
      for (const one of refused) parked.delete(one.op); // the new operation carries all that those held
      if (draft) kept.delete(draft);
      if (!old) parked.delete(record); // damaged beyond a record's name: it went by its operation's
      if (action === null || (action === "put" && Object.keys(changed).length === 0)) return;
      outbox.add(operation(row, { action, fields: changed }, op));
    });
  });
  tell(CHANGED);
  tell(SAVED);
}

/** A row for the outbox: what is done to this record, made on the version that the phone has. */
export function operation({ user, kind, record, rev }, { action, fields }, op = newId()) {
  return { op, schema: SCHEMA, user, kind, record, action, fields, base: rev, made_at: instant() };
}

/** The operation as it travels: without the phone's own notes. */
export function asSent({ op, schema, kind, record, action, fields, base, counter, made_at }) {
  return { op, schema, kind, record, action, fields, base, counter, made_at };
}

/**
 * Inside a write transaction: the only line of this app that takes rows out of the outbox. It takes those that an answer
 * names as stored or refused, and no others; refused ones are parked with their reasons. Returns the rows that stay.
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

/** Set aside what cannot travel, as it is, where the diver sees it and can take it as a file. */
export async function parkDamaged(rows) {
  for (const row of rows) {
    const op = typeof row.op === "string" ? row.op : newId();
    await park({ ...row, op }, [{ field: "", says: "This cannot be read any more: the phone's storage has damaged it" }]);
  }
}

/** Park an operation that the server cannot take even alone. */
export async function park(row, faults) {
  await write(["outbox", "parked"], (stores) => {
    acknowledge(stores, [row], [{ op: row.op, status: "refused", faults }]);
  });
  tell(CHANGED);
}
