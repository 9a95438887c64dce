// One exchange with the server: what is asked, and how the answer is taken in, all of it in one transaction.
import { localDay, now, offsetMinutes } from "./clock.js";
import { gather, look, newId, write } from "./db.js";
import { acknowledge, asSent, operation } from "./outbox.js";
import { post } from "./server.js";
import { keyOf } from "./slate.js";

const SCHEMA = 1;
const MOST_BYTES = 240_000; // the server takes 256 kB: the envelope needs its part
const STORES = ["records", "outbox", "parked", "kept"];
const size = (value) => new TextEncoder().encode(JSON.stringify(value)).length;

/** Ask once with at most `most` operations. Resolves to the server's word, with {sent, left, more} beside an answer. */
export async function exchange(most) {
  const { request, sent } = await compose(most);
  const word = await post(request);
  if (word.kind !== "answer") return { ...word, sent };
  return { ...word, sent, ...(await takeIn(word.body)) };
}

/** Another diver is signed in: ask who, without sending anything; from then on this phone shows that diver's log. */
export async function meet() {
  const { request } = await compose(0);
  const word = await post({ ...request, epoch: null, mark: 0, user: null, operations: [] });
  if (word.kind === "answer") await takeIn(word.body);
  return word;
}

async function compose(most) {
  const device = await deviceId();
  const { user, waiting } = await look(["kept", "outbox"], ({ kept, outbox }) => ({
    user: kept.get("user"),
    waiting: outbox.getAll(),
  }));
  const id = user?.id ?? null;
  const { feed } = await look(["kept"], ({ kept }) => ({ feed: kept.get(keyOf.feed(id)) }));
  const own = waiting.filter((row) => isOf(id, row));
  const sent = own.slice(0, fitting(own, most));
  const request = {
    schema: SCHEMA,
    device,
    epoch: feed?.epoch ?? null,
    mark: feed?.mark ?? 0,
    today: localDay(),
    utc_offset_min: offsetMinutes(),
    user: id,
    operations: sent.map(asSent),
  };
  return { request, sent };
}

function fitting(rows, most) {
  let bytes = 0;
  const end = rows.findIndex((row, at) => {
    bytes += size(asSent(row)) + 1;
    return at >= most || (at > 0 && bytes > MOST_BYTES);
  });
  return end === -1 ? rows.length : end;
}

function deviceId() {
  return write(["kept"], ({ kept }) => {
    let device = newId();
    gather({ old: kept.get("device") }, ({ old }) => {
      if (old) device = old;
      else kept.put(device, "device");
    });
    return () => device;
  });
}

// Marks move in the transaction that applies what they stand for: a page killed here begins again from the old mark.
function takeIn(body) {
  const { user, results, epoch, more, snapshot } = body;
  const feedKey = keyOf.feed(user.id);
  return write(STORES, (stores) => {
    const { records, outbox, parked, kept } = stores;
    const asked = { waiting: outbox.getAll(), parked: parked.getAll(), rows: records.getAll(), feed: kept.get(feedKey) };
    let left = [];
    gather(asked, (found) => {
      left = acknowledge(stores, found.waiting, results);
      const restored = Boolean(found.feed) && found.feed.epoch !== epoch;
      const held = new Set([...left, ...found.parked, ...refusedNow(found.waiting, results)].map((row) => row.record));
      for (const row of fold(body, found, restored)) records.put(held.has(row.record) || row.offer ? row : shown(row));
      const mark = restored ? body.mark : Math.max(body.mark, found.feed?.mark ?? 0);
      kept.put({ epoch, mark, offering: restored || Boolean(found.feed?.offering) }, feedKey);
      kept.put({ id: user.id, name: user.name }, "user");
      if (snapshot) kept.put(snapshot, keyOf.snapshot(user.id));
      kept.put(now(), "last_sent");
    });
    return () => ({ left: left.filter((row) => isOf(user.id, row)), more: Boolean(more) });
  });
}

function isOf(id, row) {
  return row.user === null || row.user === id;
}

function refusedNow(waiting, results) {
  const refused = new Set(results.filter((one) => one.status === "refused").map((one) => one.op));
  return waiting.filter((row) => refused.has(row.op));
}

// A restored server counts anew: what it knew before is no base for anything.
function forget(row) {
  return { ...row, known: null, rev: 0, offer: true };
}

// The rows that this answer changes, with what the server now knows of them; what the diver sees is left alone here.
function fold({ user, results, changes }, { waiting, rows }, restored) {
  const kin = rows.filter((row) => isOf(user.id, row));
  const byId = new Map((restored ? kin.map(forget) : kin).map((row) => [row.record, row]));
  const news = new Map(restored ? byId : []);
  const recordOf = new Map(waiting.map((row) => [row.op, row.record]));
  for (const result of results) {
    const row = news.get(recordOf.get(result.op)) ?? byId.get(recordOf.get(result.op));
    if (!row || result.status !== "stored") continue;
    const conflict = [...new Set([...row.conflict, ...(result.conflict ?? [])])];
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

function shown(row) {
  if (!row.known || row.known.rev < row.rev) return row; // the change itself comes with a later page
  return { ...row, fields: row.known.fields, deleted: row.known.deleted };
}

/** After a server was restored from a backup and its whole feed was read: offer what it lacks; resolves to how much. */
export function offerAgain(id) {
  return write(["records", "outbox", "kept"], ({ records, outbox, kept }) => {
    let offered = 0;
    gather({ rows: records.getAll(), feed: kept.get(keyOf.feed(id)) }, ({ rows, feed }) => {
      if (!feed?.offering) return;
      for (const { offer, ...row } of rows.filter((one) => one.offer)) {
        const lacks = lacking(row);
        if (lacks) outbox.add(operation(row, lacks));
        offered += lacks ? 1 : 0;
        records.put(row);
      }
      kept.put({ ...feed, offering: false }, keyOf.feed(id));
    });
    return () => offered;
  });
}

function lacking({ known, fields, deleted }) {
  if (deleted) return known && !known.deleted ? { action: "delete", fields: {} } : null;
  const there = known && !known.deleted ? known.fields : {};
  const changed = Object.entries(fields).filter(([name, value]) => JSON.stringify(value) !== JSON.stringify(there[name]));
  return changed.length ? { action: "put", fields: Object.fromEntries(changed) } : null;
}
