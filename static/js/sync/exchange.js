// One request to the server and its answer. All that an answer changes is written in one transaction.
import { localDay, now, offsetMinutes } from "../clock.js";
import { KNOWN_KINDS } from "../labels.js";
import { getKept, read, whenAll, write } from "../store/db.js";
import { newId } from "../store/ids.js";
import { FEED_STORES, STORES, keyOf } from "../store/keys.js";
import { acknowledge, asSent, parkDamaged } from "../store/outbox.js";
import { isOf, isWhole } from "../store/rows.js";
import { fold, refusedNow, shown } from "./fold.js";
import { post } from "./server.js";
import { withSheet } from "./sheets.js";

const SCHEMA = 1;
const MOST_BYTES = 240_000; // the server accepts 256 kB, and the fields around the operations need some of it
const size = (value) => new TextEncoder().encode(JSON.stringify(value)).length;

/**
 * Sync once with at most `most` operations. Resolves to what came back; an answer has {sent, left, more, offering}
 * too.
 * @param {number} most
 * @returns {Promise<Exchanged>}
 */
export async function exchange(most) {
  const { request, sent, sheetId } = await compose(most);
  const reply = /** @type {Word} */ (await post(request, sheetId, KNOWN_KINDS));
  if (reply.kind !== "answer") return { ...reply, sent };
  return { ...reply, sent, ...(await takeIn(reply.body, request)) };
}

/** Another diver is signed in: ask who it is and send nothing. From then on this phone shows that diver's log. */
export async function askWhoIsSignedIn() {
  const { request } = await compose(0);
  const asked = { ...request, epoch: null, mark: 0, user: null, operations: [] };
  const reply = /** @type {Word} */ (await post(asked, undefined, KNOWN_KINDS));
  if (reply.kind === "answer") await takeIn(reply.body, request);
  return reply;
}

/** @param {number} most */
async function compose(most) {
  const device = await deviceId();
  const { user, waiting } = await read(["kept", "outbox"], ({ kept, outbox }) => ({
    user: kept.get("user"),
    waiting: outbox.getAll(),
  }));
  const id = user?.id ?? null;
  const { feed, snapshot, feeds } = await read(["kept", "feeds"], ({ kept, feeds }) => ({
    feed: kept.get(keyOf.feed(id)),
    snapshot: kept.get(keyOf.snapshot(id)),
    feeds: feeds.getAll(),
  }));
  const damaged = waiting.filter((row) => !isWhole(row));
  if (damaged.length > 0) await parkDamaged(damaged);
  // a restored server is read first
  const own = feed?.offering ? [] : waiting.filter((row) => isOf(id, row) && isWhole(row));
  const sent = own.slice(0, countThatFits(own, most));
  const request = {
    schema: SCHEMA,
    device,
    epoch: feed?.epoch ?? null,
    mark: readsAll(feed) ? feed.mark : 0,
    today: localDay(),
    utc_offset_min: offsetMinutes(),
    user: id,
    operations: sent.map(asSent),
    feeds: feeds.filter((one) => isOf(id, one)).map((one) => readTo(one, feed?.epoch)),
  };
  return { request, sent, sheetId: snapshot?.sheet_id };
}

// An app that knows more kinds than the one before it reads the log from the beginning: it was not sent those.
/** @param {Feed} feed */
function readsAll(feed) {
  return feed?.kinds === KNOWN_KINDS;
}

// How far this phone has read a feed, and which sheet it has of it.
/** @param {SharedFeed} shared @param {string} epoch */
function readTo({ feed, mark, snapshot, ...of }, epoch) {
  const isRead = of.epoch === epoch && of.kinds === KNOWN_KINDS;
  return { feed, mark: isRead ? mark : 0, sheet: snapshot?.sheet_id ?? null };
}

function countThatFits(rows, most) {
  let bytes = 0;
  const end = rows.findIndex((row, index) => {
    bytes += size(asSent(row)) + 1;
    return index >= most || (index > 0 && bytes > MOST_BYTES);
  });
  return end === -1 ? rows.length : end;
}

/** @returns {Promise<string>} */
async function deviceId() {
  return (await getKept("device")) ?? newDevice(); // only to ask must change nothing
}

/** @returns {Promise<string>} */
function newDevice() {
  return write(["kept"], ({ kept }) => {
    let device = newId();
    whenAll({ old: kept.get("device") }, ({ old }) => {
      if (old) device = old;
      else kept.put(device, "device");
    });
    return () => device;
  });
}

// The mark moves in the same transaction as the changes that it covers: a page killed here starts again from the old
// mark.
// If the log was removed meanwhile, the phone has another device name by now, and the answer to the old one is dropped.
/** @param {Envelope} body @param {{ device: string, feeds: unknown[] }} request */
async function takeIn(body, { device, feeds }) {
  const shared = feeds.length > 0 || body.feeds?.length > 0 ? await sharedPart() : null;
  const { user, results, epoch, more, snapshot, not_planned } = body;
  const feedKey = keyOf.feed(user.id);
  const snapshotKey = keyOf.snapshot(user.id);
  return write([...STORES, ...FEED_STORES], (stores) => {
    const { records, outbox, parked, kept } = stores;
    const requests = {
      waiting: outbox.getAll(),
      parked: parked.getAll(),
      rows: records.getAll(),
      device: kept.get("device"),
      counter: kept.get("counter"),
      feed: kept.get(feedKey),
      snapshot: kept.get(snapshotKey),
    };
    let left = [];
    let theirs = null;
    let offering = false;
    whenAll(requests, (found) => {
      if (found.device !== device) return;
      countUp(kept, found, body.counter ?? 0);
      left = acknowledge(stores, found.waiting, results);
      const restored = Boolean(found.feed) && found.feed.epoch !== epoch;
      const held = new Set([...left, ...found.parked, ...refusedNow(found.waiting, results)].map((row) => row.record));
      for (const row of fold(body, found, restored)) records.put(held.has(row.record) || row.offer ? row : shown(row));
      const mark = restored || !readsAll(found.feed) ? body.mark : Math.max(body.mark, found.feed.mark);
      offering = restored || Boolean(found.feed?.offering);
      kept.put({ epoch, mark, offering, kinds: KNOWN_KINDS }, feedKey);
      kept.put({ id: user.id, name: user.name }, "user");
      if (snapshot) kept.put(withSheet(snapshot, found.snapshot), snapshotKey);
      kept.put(not_planned ?? null, keyOf.notPlanned(user.id)); // the last plan stays when there is no new one
      theirs = shared?.takeInFeeds(stores, body, found.waiting);
      kept.put(now(), "last_sent");
    });
    return () => ({ left: left.filter((row) => isOf(user.id, row)), more: Boolean(more || theirs?.more), offering });
  });
}

// Only a phone with which somebody shares something needs it. Without it the own log goes on; the next sync tries it
// again.
function sharedPart() {
  return import("./feeds.js").catch((error) => {
    console.warn(error);
    return null;
  });
}

// The server has seen a higher counter from this device than this storage ever gave out: the storage is an older copy.
// It goes on as another device, because a counter is given once only.
/** @param {KeptStore} kept @param {{ counter: number, waiting: Operation[] }} found @param {number} seen */
function countUp(kept, { counter, waiting }, seen) {
  const given = waiting.reduce((most, row) => Math.max(most, row.counter), counter ?? seen);
  if (seen > given) kept.put(newId(), "device");
  kept.put(Math.max(given, seen), "counter");
}
