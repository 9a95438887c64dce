// The last drawing of Today, kept for the worker: it answers with it while the page's own code still loads. A drawing
// counts only while nothing that the phone keeps has changed since, see `writes` in db.js.
import { read, writeAside } from "./db.js";

/**
 * The drawing: the markup of the page's content, and day or night. Null unless it was made on this day, by this version
 * of the app, from what the phone keeps now.
 * @param {string} day @param {string} version
 * @returns {Promise<FirstView | null>}
 */
export async function firstView(day, version) {
  const { view, writes } = await read(["kept"], ({ kept }) => ({
    view: kept.get("first_view"), writes: kept.get("writes"),
  }));
  const isValid = view && view.day === day && view.version === version && view.writes === writes;
  return isValid ? view : null;
}

/**
 * Keep a drawing, unless something was written since: a log that was taken off the phone must not come back in it.
 * @param {FirstView} view
 */
export function keepFirstView(view) {
  return writeAside(["kept"], ({ kept }) => {
    const now = kept.get("writes");
    now.onsuccess = () => now.result === view.writes && kept.put(view, "first_view");
  });
}
