// The feeds that are open to this diver: logs of others, and crews. Pages read them here and write in them, with and
// without signal; an operation waits in the same outbox as the own log's.
import { read, whenAll, write } from "./db.js";
import { shownRecords } from "./feed_fold.js";
import { newId } from "./ids.js";
import { keyOf } from "./keys.js";
import { CHANGED, SAVED, tell } from "./news.js";
import { operation } from "./outbox.js";
import { isOf } from "./rows.js";
import { grouped } from "./groups.js";

const same = (a, b) => JSON.stringify(a ?? null) === JSON.stringify(b ?? null);

/** Every key of one feed. @param {string} feed */
export const allOf = (feed) => IDBKeyRange.bound([feed], [feed, []]);

/**
 * The crews of this diver, and the logs that others share with them, each with its records; the deleted ones are left
 * out. `person` is how feeds name this diver: null before the first sync.
 * @param {Diver} user
 * @returns {Promise<{ person: string | null, crews: SharedFeed[], logs: SharedFeed[] }>}
 */
export async function readFeeds(user) {
  const found = await read(["kept", "feeds", "feed_rows", "feed_ops"], (stores) => ({
    person: stores.kept.get(keyOf.person(user?.id)),
    feeds: stores.feeds.getAll(),
    rows: stores.feed_rows.getAll(),
    ops: stores.feed_ops.getAll(),
  }));
  const rows = grouped(found.rows, ({ feed }) => feed);
  const ops = grouped(found.ops, ({ feed }) => feed);
  const open = found.feeds.filter((one) => isOf(user?.id ?? null, one)).map((one) => ({
    ...one, rows: shownRecords(rows.get(one.feed) ?? [], ops.get(one.feed) ?? []).filter(({ deleted }) => !deleted),
  }));
  const of = (kind) => open.filter((one) => one.kind === kind);
  return { person: found.person ?? null, crews: of("crew"), logs: of("log") };
}

/** The same feeds without their records: names stand before long logs are read. @param {Diver} user */
export async function namesOfFeeds(user) {
  const { feeds } = await read(["feeds"], (stores) => ({ feeds: stores.feeds.getAll() }));
  return feeds.filter((one) => isOf(user?.id ?? null, one));
}

/** One of them with its records. @param {SharedFeed} one @returns {Promise<SharedFeed>} */
export async function withRecords(one) {
  const { rows, ops } = await read(["feed_rows", "feed_ops"], ({ feed_rows, feed_ops }) =>
    ({ rows: feed_rows.getAll(allOf(one.feed)), ops: feed_ops.getAll(allOf(one.feed)) }));
  return { ...one, rows: shownRecords(rows, ops).filter(({ deleted }) => !deleted) };
}

/**
 * Save a new record of a feed, or an edit of one: only what changed is sent. Resolves to the record's id.
 * @param {{ feed: string, kind: string, record?: string, fields: Fields, user: Diver }} what
 */
export async function saveIn({ feed, kind, record = newId(), fields, user }) {
  await change({ feed, kind, record, user }, (old) => {
    const before = old && !old.deleted ? old.fields : {};
    const differs = Object.entries(fields).filter(([name, value]) => !(name in before) || !same(value, before[name]));
    const sent = Object.fromEntries(differs);
    return !old || old.deleted || differs.length > 0 ? { action: "put", fields: sent } : null;
  });
  return record;
}

/** Take a record of a feed away. @param {{ feed: string, record: string, user: Diver }} what */
export function removeIn({ feed, record, user }) {
  return change({ feed, record, user }, (old) => (old && !old.deleted ? { action: "delete", fields: {} } : null));
}

/**
 * @param {{ feed: string, kind?: string, record: string, user: Diver }} of
 * @param {(old: FeedRecord | undefined) => { action: string, fields: Fields } | null} decide
 */
async function change({ feed, kind, record, user }, decide) {
  await write(["outbox", "feed_rows", "feed_ops"], ({ outbox, feed_rows, feed_ops }) => {
    whenAll({ row: feed_rows.get([feed, record]), ops: feed_ops.getAll(allOf(feed)) }, ({ row, ops }) => {
      const own = ops.filter((one) => one.record === record);
      const old = shownRecords(row ? [row] : [], own)[0];
      const step = decide(old);
      if (!step) return;
      const of = /** @type {Row} */ ({ record, kind: kind ?? old.kind, user: user?.id ?? null, rev: old?.rev ?? 0 });
      const made = { ...operation(of, step), feed };
      outbox.add(made);
      const { schema, ...kept } = made;
      const n = 1 + own.reduce((most, one) => Math.max(most, one.n), 0);
      feed_ops.put({ ...kept, n, by: user?.name ?? "", state: "waiting" });
    });
  });
  tell(CHANGED);
  tell(SAVED);
}
