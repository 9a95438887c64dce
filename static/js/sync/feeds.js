// What an answer says of feeds of others and of crews. Loaded only by a phone with which somebody shares something.
import { dayAfter, localDay } from "../clock.js";
import { KNOWN_KINDS } from "../labels.js";
import { whenAll } from "../store/db.js";
import { allOf } from "../store/feeds.js";
import { keyOf } from "../store/keys.js";
import { forgetOutlooks } from "../store/outlook.js";
import { withSheet } from "./sheets.js";

const REMEMBERED_DAYS = 60; // so long a file that comes again is known by its changes

/**
 * Inside the transaction that takes in an answer: what it says of each feed. A feed that it does not name is closed to
 * this diver, and goes from the phone with all that is in it. Returns what is known once the transaction has ended:
 * `more` when the server has more of a feed, or is to get changes once more.
 * @param {Stores} stores @param {Envelope} body @param {Operation[]} waiting
 */
export function takeInFeeds(stores, body, waiting) {
  const state = { more: (body.feeds ?? []).some(({ more }) => more) };
  if (!body.feeds) return state; // an older server, or an app that asked before it knew of feeds
  if (body.person) stores.kept.put(body.person, keyOf.person(body.user.id));
  whenAll({ had: stores.feeds.getAll(), ops: stores.feed_ops.getAll() }, ({ had, ops }) => {
    const open = new Map(body.feeds.map((one) => [one.feed, one]));
    const before = new Map(had.map((one) => [one.feed, one]));
    for (const { feed } of had) if (!open.has(feed)) forget(stores, feed);
    settle(stores, ops.filter(({ feed }) => open.has(feed) || feed === body.person), body, waiting);
    for (const one of body.feeds) takeInFeed(stores, one, before.get(one.feed), body);
    const again = body.feeds.filter(({ feed }) => before.has(feed) && before.get(feed).epoch !== body.epoch);
    const lacks = ops.filter(({ feed, state: is }) => is === "stored" && again.some((one) => one.feed === feed));
    offer(stores, lacks);
    state.more ||= lacks.length > 0;
  });
  return state;
}

/** @param {Stores} stores @param {string} feed */
function forget({ feeds, feed_rows, feed_ops, kept }, feed) {
  feeds.delete(feed);
  feed_rows.delete(allOf(feed));
  feed_ops.delete(allOf(feed));
  forgetOutlooks({ kept }, feed);
}

// What the answer says of the changes that were sent; old ones that the server has stored are forgotten.
/** @param {Stores} stores @param {FeedOp[]} ops @param {Envelope} body @param {Operation[]} waiting */
function settle({ feed_ops }, ops, { results }, waiting) {
  const sent = new Set(waiting.filter(({ feed }) => feed).map(({ op }) => op));
  const said = new Map(results.filter(({ op }) => sent.has(op)).map((result) => [result.op, result]));
  const oldest = dayAfter(localDay(), -REMEMBERED_DAYS);
  for (const one of ops) {
    const result = said.get(one.op);
    if (result?.status === "stored") feed_ops.put({ ...one, state: "stored", rev: result.rev ?? 0 });
    else if (result?.status === "refused") feed_ops.put({ ...one, state: "refused" });
    else if (one.state !== "waiting" && one.made_at < oldest) feed_ops.delete([one.feed, one.op]);
  }
}

/** @param {Stores} stores @param {SharedFeed} one @param {SharedFeed} before @param {Envelope} body */
function takeInFeed({ feeds, feed_rows, kept }, one, before, { epoch, user }) {
  const { changes = [], snapshot, ...about } = one;
  const isSameFile = !before || before.epoch === epoch;
  const isAsBefore = isSameFile && before?.kinds === KNOWN_KINDS && String(before.rights) === String(one.rights);
  if (!isSameFile || before?.user !== user.id) feed_rows.delete(allOf(one.feed));
  const plan = snapshot ? withSheet(snapshot, before?.snapshot) : (before?.snapshot ?? null);
  const mark = isAsBefore ? Math.max(one.mark, before.mark) : one.mark;
  const mayRead = one.kind !== "log" || one.rights.includes("log");
  const has_told = Boolean(before?.has_told && one.more);
  feeds.put({ ...about, has_told, mark, epoch, kinds: KNOWN_KINDS, user: user.id, snapshot: mayRead ? plan : null });
  if (!mayRead) feed_rows.delete(allOf(one.feed)); // reading it was taken back
  if (!mayRead) forgetOutlooks({ kept }, one.feed);
  if (before?.has_told && !one.more) trustNoText({ feed_rows }, one.feed);
  for (const { record, kind, rev, fields, deleted } of changes) {
    const key = [one.feed, record];
    whenAll({ row: feed_rows.get(key) }, ({ row }) => {
      if (row?.known && row.known.rev > rev) return; // another tab has already taken in a newer version
      feed_rows.put({ feed: one.feed, record, kind, known: { rev, fields, deleted }, told: null });
    });
  }
}

// What a text told counts only until the server has told all that it knows.
/** @param {Pick<Stores, "feed_rows">} stores @param {string} feed */
function trustNoText({ feed_rows }, feed) {
  whenAll({ rows: feed_rows.getAll(allOf(feed)) }, ({ rows }) => {
    for (const row of rows.filter(({ told }) => told)) {
      if (row.known) feed_rows.put({ ...row, told: null });
      else feed_rows.delete([feed, row.record]);
    }
  });
}

// The server was put back to an older copy: it may not have what it once stored. It knows each change by its id.
/** @param {Stores} stores @param {FeedOp[]} ops */
function offer({ outbox, feed_ops }, ops) {
  for (const { n, by, state, rev, ...op } of ops) {
    outbox.add({ ...op, schema: 1 });
    feed_ops.put({ ...op, n, by, state: "waiting" });
  }
}
