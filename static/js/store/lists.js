// The lists that buddies shared with this phone: a separate IndexedDB, one record for each link.
const NAME = "lineslate-lists";
const STORE = "lists";

function open() {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open(NAME, 1);
    request.onupgradeneeded = () => request.result.createObjectStore(STORE, { keyPath: "path" });
    request.onerror = () => reject(request.error);
    request.onsuccess = () => resolve(request.result);
  });
}

async function inStore(mode, act) {
  const db = await open();
  try {
    return await new Promise((resolve, reject) => {
      const transaction = db.transaction(STORE, mode);
      const request = act(transaction.objectStore(STORE));
      transaction.oncomplete = () => resolve(request.result);
      transaction.onabort = () => reject(transaction.error);
    });
  } finally {
    db.close(); // a handle that is closed after each use cannot be closed by the system in between
  }
}

export const keep = (path, list) => inStore("readwrite", (store) => store.put({ path, list }));
export const kept = async (path) => (await inStore("readonly", (store) => store.get(path)))?.list ?? null;
export const forget = (path) => inStore("readwrite", (store) => store.delete(path));
export const howMany = () => inStore("readonly", (store) => store.count());
export const forgetAll = () => inStore("readwrite", (store) => store.clear());
