// A text that another app shared with this one: the worker has put it aside, because no page was open then.
const CACHE = "received";
const PATH = "/boat/received";

/** The text, once; null when nothing was shared. @returns {Promise<string | null>} */
export async function takeReceived() {
  const cache = await caches.open(CACHE);
  const answer = await cache.match(PATH);
  await cache.delete(PATH);
  return answer ? answer.text() : null;
}
