// One exchange with the server: what is asked, and how the answer is taken in, all of it in one transaction.
import { localDay, now, offsetMinutes } from "./clock.js";
import { gather, look, newId, write } from "./db.js";
import { acknowledge, asSent, isWhole, operation, parkDamaged } from "./outbox.js";
import { post } from "./server.js";
import { keyOf } from "./slate.js";

const SCHEMA = 1;
const MOST_BYTES = 240_000; // the server takes 256 kB: the envelope needs its part
const STORES = ["records", "outbox", "parked", "kept"];
const size = (value) => new TextEncoder().encode(JSON.stringify(value)).length;

/** Ask once with at most `most` operations. Resolves to the server's word, with {sent, left, more, offering} beside an answer. */
export async function exchange(most) {
  const { request, sent, sheetId } = await compose(most);
  const word = await post(request, sheetId);
  if (word.kind !== "answer") return { ...word, sent };
  return { ...word, sent, ...(await takeIn(word.body, request.device)) };
}

/** Another diver is signed in: ask who, without sending anything; from then on this phone shows that diver's log. */
export async function meet() {
  const { request } = await compose(0);
  const word = await post({ ...request, epoch: null, mark: 0, user: null, operations: [] });
  if (word.kind === "answer") await takeIn(word.body, request.device);
  return word;
}

async function compose(most) {
  const device = await deviceId();
  const { user, waiting } = await look(["kept", "outbox"], ({ kept, outbox }) => ({
    user: kept.get("user"),
    waiting: outbox.getAll(),
  }));
  const id = user?.id ?? null;
  const { feed, snapshot } = await look(["kept"], ({ kept }) => ({ feed: kept.get(keyOf.feed(id)), snapshot: kept.get(keyOf.snapshot(id)) }));
  const damaged = waiting.filter((row) => !isWhole(row));
  if (damaged.length > 0) await parkDamaged(damaged);
  const own = feed?.offering ? [] : waiting.filter((row) => isOf(id, row) && isWhole(row)); // first see what a restored server has
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
  return { request, sent, sheetId: snapshot?.sheet_id };
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
// An answer to a phone whose log was taken off meanwhile would bring it back: that phone has another name by now.
function takeIn(body, device) {
  const { user, results, epoch, more, snapshot } = body;
  const feedKey = keyOf.feed(user.id);
  const snapshotKey = keyOf.snapshot(user.id);
  return write(STORES, (stores) => {
    const { records, outbox, parked, kept } = stores;
    const asked = { waiting: outbox.getAll(), parked: parked.getAll(), rows: records.getAll(), device: kept.get("device"), feed: kept.get(feedKey), snapshot: kept.get(snapshotKey) };
    let left = [];
    let offering = false;
    gather(asked, (found) => {
      if (found.device !== device) return;
      left = acknowledge(stores, found.waiting, results);
      const restored = Boolean(found.feed) && found.feed.epoch !== epoch;
      const held = new Set([...left, ...found.parked, ...refusedNow(found.waiting, results)].map((row) => row.record));
      for (const row of fold(body, found, restored)) records.put(held.has(row.record) || row.offer ? row : shown(row));
      const mark = restored ? body.mark : Math.max(body.mark, found.feed?.mark ?? 0);
      offering = restored || Boolean(found.feed?.offering);
      kept.put({ epoch, mark, offering }, feedKey);
      kept.put({ id: user.id, name: user.name }, "user");
      if (snapshot) kept.put(whole(snapshot, found.snapshot), snapshotKey);
      kept.put(now(), "last_sent");
    });
    return () => ({ left: left.filter((row) => isOf(user.id, row)), more: Boolean(more), offering });
  });
}

// The sheet is left out when this phone has it; should another tab have taken in a newer one since, that one stays.
function whole(snapshot, before) {
  if ("sheet" in snapshot) return snapshot;
  return before?.sheet_id === snapshot.sheet_id ? { ...snapshot, sheet: before.sheet } : before;
}

function isOf(id, row) {
  return (row.user ?? null) === null || row.user === id;
}

function refusedNow(waiting, results) {
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

// The rows that this answer changes, with what the server now knows of them; what the diver sees is left alone here.
function fold({ user, results, changes }, { waiting, rows }, restored) {
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

function shown(row) {
  if (!row.known || row.known.rev < row.rev) return row; // the change itself comes with a later page
  return { ...row, fields: row.known.fields, deleted: row.known.deleted };
}

/** After a server was restored from a backup and its whole feed was read: offer what it lacks; resolves to how much. */
export function offerAgain(id) {
  return write(STORES, ({ records, outbox, parked, kept }) => {
    let offered = 0;
    const asked = { rows: records.getAll(), waiting: outbox.getAll(), parked: parked.getAll(), feed: kept.get(keyOf.feed(id)) };
    gather(asked, (found) => {
      if (!found.feed?.offering) return;
      for (const { offer, ...row } of found.rows.filter((one) => one.offer && isOf(id, one))) {
        const lacks = lacking(offer, row.known);
        const first = found.waiting.find((one) => one.record === row.record);
        const held = lacks || first || found.parked.some((one) => one.record === row.record);
        // an edit that waits carries along what is lacking: a part of a dive alone would be refused
        if (lacks && first?.action === "put") outbox.put({ ...first, fields: { ...lacks.fields, ...first.fields } });
        else if (lacks && !first) outbox.add(operation({ ...row, rev: lacks.base }, lacks));
        offered += lacks && !first ? 1 : 0;
        records.put(held ? row : shown(row));
      }
      kept.put({ ...found.feed, offering: false }, keyOf.feed(id));
    });
    return () => offered;
  });
}

// Nothing when the server is further on. The same rev with another content means two histories: then base is the one
// before, so that the difference shows as a conflict and neither value is lost unseen.
function lacking(offer, known) {
  if (!known) return offer.deleted ? null : { action: "put", fields: offer.fields, base: offer.rev };
  if (known.rev > offer.rev) return null;
  const base = known.rev < offer.rev ? offer.rev : offer.rev - 1;
  if (offer.deleted) return known.deleted ? null : { action: "delete", fields: {}, base };
  const there = known.deleted ? {} : known.fields;
  const changed = Object.entries(offer.fields).filter(([name, value]) => JSON.stringify(value) !== JSON.stringify(there[name]));
  return changed.length ? { action: "put", fields: Object.fromEntries(changed), base } : null;
}
