// The clips that stay on this phone: a database of their own, and files beside it where the browser has room for them.
// No other part of the app reads them, and nothing here is ever sent. How a clip is kept stands in clip_files.js.
const NAME = "lineslate-clips";
const CLIPS = "clips"; // what is known of each clip
const FILES = "files"; // the pictures, where there is no file system
export const FOLDER = "clips"; // in the origin's private file system
export const KEPT = { file: "file", blob: "blob", reference: "reference" };

function open() {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open(NAME, 1);
    request.onupgradeneeded = () => {
      request.result.createObjectStore(CLIPS, { keyPath: "id" });
      request.result.createObjectStore(FILES);
    };
    request.onerror = () => reject(request.error);
    request.onsuccess = () => resolve(request.result);
  });
}

/** What `act` of both stores gives, when it is on the disk. */
export async function inStores(mode, act) {
  const db = await open();
  try {
    return await new Promise((resolve, reject) => {
      const transaction = db.transaction([CLIPS, FILES], mode);
      const request = act(transaction.objectStore(CLIPS), transaction.objectStore(FILES));
      transaction.oncomplete = () => resolve(request?.result);
      transaction.onabort = () => reject(transaction.error);
    });
  } finally {
    db.close(); // a handle that is closed after each use cannot be closed by the system in between
  }
}

/** Every clip of this diver on this phone, the newest first. @param {Diver | null} user @returns {Promise<Clip[]>} */
export async function clipsOf(user) {
  const all = await inStores("readonly", (clips) => clips.getAll());
  return all.filter((clip) => clip.user === null || clip.user === (user?.id ?? null))
    .sort((one, other) => (one.date + one.added < other.date + other.added ? 1 : -1));
}

/** How many clips this phone keeps, of every diver, and their size. */
export async function clipsHere() {
  const all = await inStores("readonly", (clips) => clips.getAll());
  const kept = all.filter((clip) => clip.kept !== KEPT.reference);
  return { count: all.length, bytes: kept.reduce((sum, { size }) => sum + size, 0) };
}

/** Delete every clip of this phone. */
export async function forgetClips() {
  const root = await navigator.storage?.getDirectory?.().catch(() => null);
  await root?.removeEntry(FOLDER, { recursive: true }).catch((error) => {
    if (error.name !== "NotFoundError") throw error;
  });
  await inStores("readwrite", (clips, files) => {
    files.clear();
    return clips.clear();
  });
}
