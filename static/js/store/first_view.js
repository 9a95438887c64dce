// The last drawing of Today, as the worker reads it while the page's own code still loads. A drawing counts only while
// nothing that the phone keeps has changed since, see `writes` in db.js; a choice of day or night, which the stores do
// not have, ends it too. This imports nothing, because each further file delays the first frame, and opens whatever
// version of the stores there is: an upgrade is the page's matter.
const NAME = "lineslate";

/**
 * The drawing: the markup of the page's content, and day or night. Null unless it was made on this day, by this version
 * of the app, from what the phone keeps now.
 * @param {string} day @param {string} version
 * @returns {Promise<FirstView | null>}
 */
export async function firstView(day, version) {
  const { view, writes } = await readKept();
  const isValid = view && view.day === day && view.version === version && view.writes === writes;
  return isValid ? view : null;
}

/**
 * End it: day or night was chosen anew.
 * @returns {Promise<void>}
 */
export function forgetFirstView() {
  return withKept("readwrite", (kept) => void kept.delete("first_view"));
}

/** @returns {Promise<{ view?: FirstView, writes?: number }>} */
function readKept() {
  return withKept("readonly", (kept) => {
    const [view, writes] = ["first_view", "writes"].map((name) => kept.get(name));
    return () => ({ view: view.result, writes: writes.result });
  });
}

/**
 * @template Answer
 * @param {IDBTransactionMode} mode
 * @param {(kept: IDBObjectStore) => (() => Answer) | void} work
 * @returns {Promise<Answer>}
 */
function withKept(mode, work) {
  return new Promise((resolve, reject) => {
    const opening = indexedDB.open(NAME);
    opening.onupgradeneeded = () => opening.transaction.abort(); // there are no stores yet
    opening.onerror = () => reject(opening.error);
    opening.onsuccess = () => {
      const db = opening.result;
      const tx = db.transaction("kept", mode);
      const answer = work(tx.objectStore("kept"));
      tx.oncomplete = () => resolve(typeof answer === "function" ? answer() : undefined);
      tx.onabort = () => reject(tx.error);
      db.close(); // once the transaction has ended
    };
  });
}
