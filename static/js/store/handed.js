// A crew day that is handed from phone to phone without signal: what is written into the text, and how a text is taken
// in. A text is signed by nothing: it is trusted for nothing that its bearer may not write, and the server decides
// again at the next sync.
import { NotADay } from "../plan/day_file.js";
import { read, whenAll, write } from "./db.js";
import { inOrderMade, joined, shownRecords } from "./feed_fold.js";
import { allOf } from "./feeds.js";
import { newId } from "./ids.js";
import { keyOf } from "./keys.js";
import { CHANGED, SAVED, tell } from "./news.js";
import { operation } from "./outbox.js";

/**
 * @typedef {import("../plan/day_file.js").TextOp} TextOp
 * @typedef {import("../plan/day_file.js").DayText} DayText
 * @typedef {{ changes: number, records: number, dives: number }} Taken
 */

const STRANGE = "It is of a crew that this phone is not in. Nothing was taken in.";
const OWN_KINDS = ["dive"]; // of the own log another phone may hand over dives only
const SENT = { schema: 1 };
const same = (a, b) => JSON.stringify(a ?? null) === JSON.stringify(b ?? null);

/**
 * What a text of this crew and day holds: every record, and each change that the server may not have yet. With
 * `person`, also the dives of the day that were logged on this phone for them: those are theirs, and for nobody else.
 * @param {SharedFeed} crew @param {string} date @param {Diver} user @param {string} [person]
 * @returns {Promise<import("../plan/day_file.js").DayText>}
 */
export async function dayOf({ feed, name }, date, user, person) {
  const { rows, ops, theirs } = await read(["feed_rows", "feed_ops"], ({ feed_rows, feed_ops }) => ({
    rows: feed_rows.getAll(allOf(feed)),
    ops: feed_ops.getAll(allOf(feed)),
    theirs: feed_ops.getAll(allOf(person ?? feed)),
  }));
  const shown = shownRecords(rows, ops);
  const isOfDay = new Map(shown.map(({ record, fields }) => [record, (fields.date ?? date) === date]));
  const told = new Map(rows.map((row) => [row.record, last(row)]));
  const open = [...ops.filter((op) => isOfDay.get(op.record)), ...(person ? theirs : [])]
    .filter(({ state, rev, record }) => state === "waiting" || (rev ?? 0) > (told.get(record)?.rev ?? 0));
  return {
    feed, title: name, date, by: user?.name ?? "",
    rows: rows.filter(({ record }) => isOfDay.get(record))
      .map(({ record, kind }) => ({ record, kind, ...told.get(record) })),
    ops: inOrderMade(open.filter(({ state }) => state !== "refused")).map(asText),
  };
}

/** @param {FeedRow} row @returns {Known} */
function last({ known, told }) {
  return (told?.rev ?? 0) > (known?.rev ?? 0) ? told : known;
}

function asText({ feed, op, record, kind, action, fields, base, made_at, n, by }) {
  return { feed, op, record, kind, action, fields, base, made_at, n, by };
}

/**
 * Take in a text. Resolves to how much of it was new: nothing the second time. Throws NotADay when it is of a crew that
 * this phone is not in.
 * @param {import("../plan/day_file.js").DayText} day @param {Diver} user
 * @returns {Promise<Taken>}
 */
export async function takeDay(day, user) {
  const taken = { changes: 0, records: 0, dives: 0 };
  let known = false;
  await write(["kept", "records", "outbox", "feeds", "feed_rows", "feed_ops"], (stores) => {
    const asked = { person: stores.kept.get(keyOf.person(user?.id)), crew: stores.feeds.get(day.feed) };
    whenAll(asked, ({ person, crew }) => {
      known = crew?.kind === "crew" && crew.user === user.id;
      if (!known) return;
      stores.feeds.put({ ...crew, has_told: true });
      takeCrew(stores, day, user, taken);
      takeOwn(stores, day.ops.filter((op) => op.feed === person && OWN_KINDS.includes(op.kind)), user, taken);
    });
  });
  if (!known) throw new NotADay(STRANGE);
  tell(CHANGED);
  tell(SAVED);
  return taken;
}

// What the server told the other phone is shown if it is newer; the changes are sent by this phone too, because the
// other one may never come back to a signal. The server knows each by its id.
/** @param {Stores} stores @param {DayText} day @param {Diver} user @param {Taken} taken */
function takeCrew({ outbox, feed_rows, feed_ops }, { feed, rows, ops }, user, taken) {
  whenAll({ had: feed_rows.getAll(allOf(feed)), made: feed_ops.getAll(allOf(feed)) }, ({ had, made }) => {
    const byRecord = new Map(had.map((row) => [row.record, row]));
    for (const { record, kind, rev, fields, deleted } of rows) {
      const row = byRecord.get(record) ?? { feed, record, kind, known: null };
      if (rev <= (last(row)?.rev ?? 0)) continue;
      byRecord.set(record, { ...row, told: { rev, fields, deleted } });
      feed_rows.put(byRecord.get(record));
      taken.records += 1;
    }
    const seen = new Set(made.map(({ op }) => op));
    const fresh = ops.filter((op) => op.feed === feed && !seen.has(op.op)).map((op) => ({ ...op, user: user.id,
      state: /** @type {"waiting"} */ ("waiting") }));
    for (const op of fresh) {
      outbox.add(toSend(op));
      feed_ops.put(op);
    }
    taken.changes += fresh.length;
    const shown = shownRecords([...byRecord.values()], [...made, ...fresh]);
    for (const [row, fields] of newerThan(fresh, shown)) {
      const again = { ...operation({ ...row, user: user.id }, { action: "put", fields }, newId()), feed };
      outbox.add(again);
      const { schema, ...kept } = again;
      feed_ops.put({ ...kept, n: 1e6, by: user.name, state: "waiting" });
    }
  });
}

function toSend({ feed, op, record, kind, action, fields, base, made_at, user }) {
  return { ...SENT, feed, op, record, kind, action, fields, base, made_at, user };
}

// The server shows what arrives last. Where the last change of the text is older than what is shown, the newer is said
// again.
/** @param {FeedOp[]} fresh @param {FeedRecord[]} shown @returns {[any, Fields][]} */
function newerThan(fresh, shown) {
  const said = new Map();
  for (const { record, action, fields } of fresh)
    if (action === "put") said.set(record, { ...said.get(record), ...fields });
  return shown.map((row) => {
    const arrives = said.get(row.record) ?? {};
    const names = Object.keys(arrives).filter((name) => !same(arrives[name], row.fields[name]));
    return /** @type {[any, Fields]} */ ([row, Object.fromEntries(names.map((name) => [name, row.fields[name]]))]);
  }).filter(([row, fields]) => !row.deleted && Object.keys(fields).length > 0);
}

// Dives that somebody logged for this diver: they enter the own log as if they had been typed here.
/** @param {Stores} stores @param {TextOp[]} ops @param {Diver} user @param {Taken} taken */
function takeOwn({ records, outbox, feed_ops }, ops, user, taken) {
  for (const op of inOrderMade(ops)) {
    const asked = { seen: feed_ops.get([op.feed, op.op]), row: records.get(op.record) };
    whenAll(asked, ({ seen, row }) => {
      if (seen) return;
      feed_ops.put({ ...op, user: user.id, state: "stored", rev: 0 }); // from now on it is known
      if (row?.known) return; // the server has told of it already
      const { feed, ...own } = toSend({ ...op, user: user.id });
      outbox.add(own);
      const fresh = { conflict: [], known: null, rev: 0, kind: op.kind, user: user.id };
      const fields = isMadeApart(row, op) ? joined(row.fields, op.fields) : { ...row?.fields, ...op.fields };
      records.put({ ...fresh, ...row, record: op.record, fields, deleted: op.action === "delete" });
      taken.dives += 1;
    });
  }
}

// Both have logged the same dive; an edit does not say the day again.
function isMadeApart(row, { action, fields }) {
  return Boolean(row && !row.deleted) && action === "put" && "date" in fields
    && fields.logged_by !== row.fields.logged_by;
}
