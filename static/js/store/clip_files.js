// How a clip is kept, found again and deleted: only the page of clips needs it.
import { instant } from "../clock.js";
import { FOLDER, KEPT, inStores } from "./clips.js";
import { newId } from "./ids.js";

const held = new Map(); // files that were chosen while this page was open, by the clip's id

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
