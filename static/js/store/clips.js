// The clips that stay on this phone: a database of their own, and files beside it where the browser has room for them.
// No other part of the app reads them, and nothing here is ever sent.
import { instant } from "../clock.js";
import { newId } from "./ids.js";

const NAME = "lineslate-clips";
const CLIPS = "clips"; // what is known of each clip
const FILES = "files"; // the pictures, where there is no file system
const FOLDER = "clips"; // in the origin's private file system
const KEPT = { file: "file", blob: "blob", reference: "reference" };

const held = new Map(); // files that were chosen while this page was open, by the clip's id

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

async function inStores(mode, act) {
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

/** What the browser still has room for, in bytes; null when it does not say. */
export async function roomLeft() {
  const { usage, quota } = (await navigator.storage?.estimate?.().catch(() => null)) ?? {};
  return quota === undefined ? null : Math.max(0, quota - usage);
}

/**
 * Keep a clip: its file if there is room, else a note of its name, size and date, with which it is chosen again.
 * @param {File} file
 * @param {Partial<Clip>} about
 * @returns {Promise<Clip>}
 */
export async function keepClip(file, about) {
  const id = newId();
  const clip = /** @type {Clip} */ ({ ...about, id, name: file.name, type: file.type, size: file.size,
    modified: file.lastModified, added: instant(), kept: await keepFile(id, file) });
  held.set(id, file);
  try {
    await inStores("readwrite", (clips) => clips.put(clip));
  } catch (error) {
    await dropFile(id).catch(() => {}); // the first fault is the one to tell
    throw error;
  }
  return clip;
}

async function keepFile(id, file) {
  const room = await roomLeft();
  if (room !== null && file.size >= room) return KEPT.reference;
  try {
    if (await inFolder(id, file)) return KEPT.file;
    await inStores("readwrite", (_, files) => files.put(file, id));
    return KEPT.blob;
  } catch (error) {
    console.warn(error); // no room after all
    await dropFile(id).catch(() => {});
    return KEPT.reference;
  }
}

// Whether the file now lies in the private file system; false where the browser has none, as in a private window.
async function inFolder(id, file) {
  if (!("createWritable" in (globalThis.FileSystemFileHandle?.prototype ?? {}))) return false;
  const folder = await folderOf(true);
  if (!folder) return false;
  const writable = await (await folder.getFileHandle(id, { create: true })).createWritable();
  await file.stream().pipeTo(writable);
  return true;
}

async function folderOf(create) {
  try {
    return await (await navigator.storage.getDirectory()).getDirectoryHandle(FOLDER, { create });
  } catch {
    return null;
  }
}

async function dropFile(id) {
  await inStores("readwrite", (_, files) => files.delete(id));
  await (await folderOf(false))?.removeEntry(id).catch((error) => {
    if (error.name !== "NotFoundError") throw error;
  });
}

/** The pictures of a clip, or null when the diver has to choose the file again. @param {Clip} clip */
export async function fileOf({ id, kept }) {
  if (held.has(id)) return held.get(id);
  if (kept === KEPT.blob) return (await inStores("readonly", (_, files) => files.get(id))) ?? null;
  if (kept !== KEPT.file) return null;
  const folder = await folderOf(false);
  return (await folder?.getFileHandle(id).then((handle) => handle.getFile()).catch(() => null)) ?? null;
}

/** Hold the file of a clip of which the phone has only a note; false when it is another file. */
export function holdAgain({ id, size, modified }, file) {
  const same = file.size === size && file.lastModified === modified;
  if (same) held.set(id, file);
  return same;
}

/** Note more of a clip; resolves to it as it is now, null when it was deleted. @returns {Promise<Clip | null>} */
export async function changeClip(id, change) {
  let changed = null;
  await inStores("readwrite", (clips) => {
    const request = clips.get(id);
    request.onsuccess = () => {
      if (!request.result) return;
      changed = { ...request.result, ...change };
      clips.put(changed);
    };
  });
  return changed;
}

/** Delete a clip with its file. */
export async function dropClip(id) {
  held.delete(id);
  await dropFile(id);
  await inStores("readwrite", (clips) => clips.delete(id));
}

/** Delete every clip of this phone. */
export async function forgetClips() {
  held.clear();
  const root = await navigator.storage?.getDirectory?.().catch(() => null);
  await root?.removeEntry(FOLDER, { recursive: true }).catch((error) => {
    if (error.name !== "NotFoundError") throw error;
  });
  await inStores("readwrite", (clips, files) => {
    files.clear();
    return clips.clear();
  });
}
