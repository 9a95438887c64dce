// What the pages show: the diver's records, how far each was sent, and the plan read from the ladder sheet.
import { localDay } from "../clock.js";
import { hasNoDay, recordDay } from "../labels.js";
import { completed } from "../plan/older_sheet.js";
import { read as readPlan } from "../reader/ladder.js";
import { read } from "./db.js";
import { grouped } from "./groups.js";
import { keyOf } from "./keys.js";
import { isObject } from "./rows.js";
import { STATES } from "./states.js";

const byTime = (a, b) => (order(a) < order(b) ? -1 : 1);

/** @param {ShownRow} row */
function order({ kind, fields, record }) {
  return `${recordDay({ kind, fields }) ?? ""} ${fields.at ?? ""} ${record}`;
}

/**
 * Everything that a page needs, as of now; the rows of other divers of this phone are in `others`.
 * @returns {Promise<Slate>}
 */
export async function readSlate() {
  const found = await read(["kept", "records", "outbox", "parked"], ({ kept, records, outbox, parked }) => ({
    names: kept.getAllKeys(),
    values: kept.getAll(),
    records: records.getAll(),
    outbox: outbox.getAll(),
    parked: parked.getAll(),
  }));
  const kept = Object.fromEntries(found.names.map((name, index) => [name, found.values[index]]));
  const user = kept.user ?? null;
  const isOwn = (row) => (row.user ?? null) === null || row.user === (user?.id ?? null);
  const own = (rows) => rows.filter(isOwn);
  const foreign = (rows) => rows.filter((row) => !isOwn(row));
  const outbox = own(found.outbox);
  const parked = own(found.parked);
  const records = own(found.records);
  const rows = withStates([...records, ...withoutRecord(records, parked)].map(markDamaged), outbox, parked).sort(
    byTime,
  );
  const alive = rows.filter((row) => !row.deleted && !row.damaged);
  return {
    user,
    kept,
    outbox,
    parked,
    others: { outbox: foreign(found.outbox), parked: foreign(found.parked), rows: foreign(found.records) }, 
    rows,
    dives: alive.filter((row) => row.kind === "dive").map(asLogged),
    notPlanned: kept[keyOf.notPlanned(user?.id)] ?? null,
    ...planOf(kept[keyOf.snapshot(user?.id)], alive),
  };
}

// A record as the reader takes it.
function asLogged({ kind, record, fields }) {
  return { ...fields, id: record, kind };
}

// A row that a failing disk has damaged must not take the others down with it.
function markDamaged(row) {
  const whole = isObject(row.fields) && (hasNoDay(row.kind) || recordDay(row) !== null);
  return whole ? row : { ...row, kind: row.kind ?? "dive", conflict: [], fields: {}, damaged: true };
}

// Parked rows that have no record: the diver must see them too.
function withoutRecord(records, parked) {
  const known = new Set(records.map((row) => row.record));
  return parked.filter((row) => !known.has(row.record))
    .map((row) => ({ ...row, record: row.record ?? row.op, rev: 0, conflict: [] }));
}

/** @param {Row[]} rows @param {Operation[]} outbox @param {ParkedOperation[]} parked @returns {ShownRow[]} */
function withStates(rows, outbox, parked) {
  const waiting = new Set(outbox.map((row) => row.record));
  const faults = grouped(parked, (row) => row.record ?? row.op);
  return rows.map((row) => {
    const refused = (faults.get(row.record) ?? []).flatMap((operation) => operation.faults);
    const state = faults.has(row.record) ? STATES.look : waiting.has(row.record) ? STATES.here : STATES.sent;
    return { ...row, state, faults: refused };
  });
}

// A sheet in a newer format than this page knows must not break the log.
/** @param {Snapshot} snapshot @param {ShownRow[]} alive */
function planOf(snapshot, alive) {
  const today = localDay();
  const sheet = snapshot?.sheet ? completed(snapshot.sheet) : null;
  const log = alive.map(asLogged);
  const season = snapshot?.season ?? null;
  if (!sheet) return { today, season, sheet, plan: null, trouble: null };
  try {
    return { today, season, sheet, plan: readPlan(sheet, log, today), trouble: null };
  } catch (error) {
    console.error(error);
    return { today, season, sheet, plan: null,
      trouble: "This phone cannot read the plan it was sent. The log still works." };
  }
}
