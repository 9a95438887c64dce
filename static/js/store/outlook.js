// The last outlook that the server calculated: this diver's own, and those of students whose log is shared. Kept as
// text: the other pages read all that is kept by name, and a text costs them nothing.
import { read, whenAll, write } from "./db.js";

/** The name of what is kept. @param {number | null | undefined} id @param {string | null} [feed] */
export const outlookKey = (id, feed) => `outlook:${feed ?? ""}:${id ?? ""}`;

/**
 * Inside a transaction: forget the answers about a log, whoever of this phone's divers asked.
 * @param {Pick<Stores, "kept">} stores @param {string} feed
 */
export function forgetOutlooks({ kept }, feed) {
  kept.delete(IDBKeyRange.bound(`outlook:${feed}:`, `outlook:${feed}:\uffff`));
}

/** @param {SharedFeed | undefined} one @param {number} id */
const isOpen = (one, id) => Boolean(one) && one.user === id && one.rights.includes("log");

/**
 * The kept answer of the diver whose phone this is, or of the student of a shared log.
 * @param {Diver | null} user @param {string | null} feed
 * @returns {Promise<{ kept: KeptOutlook | null, student: SharedFeed | null }>}
 */
export async function keptOutlook(user, feed) {
  const found = await read(["kept", "feeds"], ({ kept, feeds }) => ({
    kept: kept.get(outlookKey(user?.id, feed)), one: feeds.get(feed ?? ""),
  }));
  const student = isOpen(found.one, user?.id) ? found.one : null;
  return { kept: feed && !student ? null : (found.kept ?? null), student };
}

/**
 * Keep an answer; not when another diver is signed in by now, or when the log is not shared any more.
 * @param {{ id: number, feed: string | null, answer: KeptOutlook }} of
 */
export function keepOutlook({ id, feed, answer }) {
  return write(["kept", "feeds"], ({ kept, feeds }) => {
    whenAll({ user: kept.get("user"), one: feeds.get(feed ?? "") }, ({ user, one }) => {
      if (user?.id !== id || (feed && !isOpen(one, id))) return;
      kept.put(answer, outlookKey(id, feed));
    });
  });
}
