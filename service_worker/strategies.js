// The ways to answer: keep a whole version or nothing of it, answer from it, and clear older versions.
import { FILES, MORE, SHELLS, VERSION } from "./list.js";

const PREFIX = "lineslate-";
const CACHE = PREFIX + VERSION;
const SERVERS_VERSION = "/service_worker/version";
// with a weak signal the answer may never come: then the kept page is better than an empty one
const PATIENCE_MS = 8_000;
const TYPES = { js: "text/javascript", css: "text/css", svg: "image/svg+xml" };

/** Fetch everything first, then keep it: half a version is never kept, and the older version stays in use. */
export async function keepAll() {
  const opened = (await openedBefore()).flatMap((path) => [path, ...MORE[path]]);
  const answers = await Promise.all([...SHELLS, ...FILES, ...opened].map(fetched));
  await sameVersion();
  const cache = await caches.open(CACHE);
  try {
    await Promise.all(answers.map(([path, answer]) => cache.put(path, answer)));
  } catch (error) {
    await caches.delete(CACHE); // no space: a part of it would only take space from the dives
    throw error;
  }
}

// The pages of `MORE` that an older version of the app has kept: the diver has opened them.
async function openedBefore() {
  const found = await Promise.all(Object.keys(MORE).map((path) => caches.match(path)));
  return Object.keys(MORE).filter((_, index) => found[index]);
}

/** Whether a page of `MORE` is kept, with all its files. */
export async function isKept(path) {
  return Boolean(await (await caches.open(CACHE)).match(path));
}

/** Keep a page of `MORE` with its files, or nothing that counts: the page comes last, and stands for all of them. */
export async function keepMore(path) {
  if (await isKept(path)) return;
  try {
    const answers = await Promise.all([...MORE[path], path].map(fetched));
    await sameVersion();
    const cache = await caches.open(CACHE);
    for (const [address, answer] of answers) await cache.put(address, answer);
  } catch (error) {
    console.warn(error); // the next visit tries it again
  }
}

// Without cookies, so that no page can contain anyone's data.
async function fetched(path) {
  const answer = await fetch(path, { cache: "no-cache", credentials: "omit", redirect: "error" });
  if (!worthKeeping(path, answer)) throw new Error(`${path} is not what it should be (${answer.status})`);
  return [path, answer];
}

function worthKeeping(path, answer) {
  const [, ending] = /\.(\w+)$/.exec(path) ?? [];
  const type = ending ? TYPES[ending] : "text/html";
  const found = answer.headers.get("Content-Type") ?? "";
  return answer.ok && !answer.redirected && answer.type === "basic" && found.startsWith(type);
}

// The server may be updated while the files arrive: then nothing is kept, and the next visit tries again.
async function sameVersion() {
  const answer = await fetch(SERVERS_VERSION, { cache: "no-store" });
  if ((await answer.text()) !== VERSION) throw new Error("the server changed its version meanwhile");
}

/** Clear older versions: only caches of this app, and never anything but caches. */
export async function sweep() {
  const names = await caches.keys();
  await Promise.all(names.filter((name) => name.startsWith(PREFIX) && name !== CACHE)
    .map((name) => caches.delete(name)));
}

/** Answer from the cache, whatever the query is; from the network only if the cache was cleared. */
export async function keptFirst(request, path) {
  const cache = await caches.open(CACHE);
  return (await cache.match(path)) ?? fetch(request);
}

/** Answer from the network, or with a kept page when the network does not answer; the answer is not kept. */
export async function networkElse(request, path) {
  const late = new Promise((_, reject) => setTimeout(() => reject(new Error("no answer in time")), PATIENCE_MS));
  try {
    return await Promise.race([fetch(request), late]);
  } catch {
    const cache = await caches.open(CACHE);
    return (await cache.match(path)) ?? Response.error();
  }
}
