// The only IndexedDB handle of a page, or of the worker. iOS closes handles of pages in the background: then a new one
// is opened.
import { STORES } from "./keys.js";
import { BLOCKED, OUTDATED, tellHere } from "./news.js";

const NAME = "lineslate";
const VERSION = 2;

let opening = null;
const underWay = new Set(); // transactions that have not ended

// Safari keeps a page that was left just as it stood: a transaction under way would stand still in it, and every other
// page would wait for its end, without a word. When the diver comes back to the page it is begun anew, see `run`.
globalThis.addEventListener("pagehide", (/** @type {any} */ { persisted }) => persisted && underWay.forEach(giveUp));

function giveUp(tx) {
  try {
    tx.abort();
  } catch (error) {
    if (error.name !== "InvalidStateError") throw error; // it is being committed and ends by itself
  }
}

// An upgrade only adds: the outbox of an older version must survive it.
/** @param {IDBDatabase} db @param {number} from */
function upgrade(db, from) {
  if (from < 1) {
    db.createObjectStore("records", { keyPath: "record" }); // what the diver sees, and what the server knew last of it
    const outbox = db.createObjectStore("outbox", { keyPath: "counter", autoIncrement: true });
    outbox.createIndex("op", "op", { unique: true });
    outbox.createIndex("record", "record");
    const parked = db.createObjectStore("parked", { keyPath: "op" }); // refused by the server, with its reasons
    parked.createIndex("record", "record");
    db.createObjectStore("kept"); // single values by name: device, user, marks, snapshot, unfinished form
  }
  if (from < 2) {
    db.createObjectStore("feeds", { keyPath: "feed" }); // logs of others and crews that are open to this diver
    db.createObjectStore("feed_rows", { keyPath: ["feed", "record"] }); // what the server or a file told of a record
    db.createObjectStore("feed_ops", { keyPath: ["feed", "op"] }); // changes made here or taken from a file
  }
}

/** @returns {Promise<IDBDatabase>} */
function open() {
  opening ??= new Promise((resolve, reject) => {
    const request = indexedDB.open(NAME, VERSION);
    request.onupgradeneeded = (event) => upgrade(request.result, event.oldVersion);
    request.onblocked = () => tellHere(BLOCKED);
    request.onerror = () => reject(request.error);
    request.onsuccess = () => {
      const db = request.result;
      db.onversionchange = () => {
        drop(db);
        tellHere(OUTDATED);
      };
      db.onclose = () => drop(db);
      resolve(db);
    };
  }).catch((error) => {
    opening = null;
    throw error;
  });
  return opening;
}

/** @param {IDBDatabase} db */
function drop(db) {
  opening = null;
  db.close();
}

function begin(db, names, mode, durability, work) {
  return new Promise((resolve, reject) => {
    const tx = db.transaction(names, mode, { durability });
    let answer;
    let thrown = null;
    underWay.add(tx);
    tx.oncomplete = () => {
      underWay.delete(tx);
      resolve(typeof answer === "function" ? answer() : answer);
    };
    tx.onabort = () => {
      underWay.delete(tx);
      reject(thrown ?? tx.error ?? new DOMException("the handle was closed", "InvalidStateError"));
    };
    try {
      answer = work(Object.fromEntries(names.map((name) => [name, tx.objectStore(name)])));
    } catch (error) {
      thrown = error;
      tx.abort();
    }
  });
}

const LOST_HANDLE = new Set(["InvalidStateError", "UnknownError"]);

async function run(names, mode, durability, work) {
  let db = await open();
  try {
    return await begin(db, names, mode, durability, work);
  } catch (error) {
    if (!LOST_HANDLE.has(error.name)) throw error;
    drop(db); // aborted means that nothing was written: a second try cannot write it twice
    db = await open();
    return begin(db, names, mode, durability, work);
  }
}

/**
 * Read in one transaction. `ask(stores)` is synchronous and returns {name: request}; resolves to {name: result}.
 * @template {Asked} Requests
 * @param {StoreName[]} names
 * @param {(stores: Stores) => Requests} ask
 * @returns {Promise<Found<Requests>>}
 */
export function read(names, ask) {
  return run(names, "readonly", "default", (stores) => {
    const requests = ask(stores);
    return () => Object.fromEntries(Object.entries(requests).map(([name, request]) => [name, request.result]));
  });
}

/**
 * Write in one transaction, on the disk when this resolves. `work(stores)` is synchronous: it must not await.
 * It may return a function: that is called once all is written, and its value is the result.
 * @template Answer
 * @param {StoreName[]} names
 * @param {(stores: Stores) => (() => Answer) | void} work
 * @returns {Promise<Answer>}
 */
export function write(names, work) {
  return run(...counted(names, "strict", work));
}

/**
 * Like `write`, for what may be lost when the battery dies: the unfinished form.
 * @template Answer
 * @param {StoreName[]} names
 * @param {(stores: Stores) => (() => Answer) | void} work
 * @returns {Promise<Answer>}
 */
export function writeRelaxed(names, work) {
  return run(...counted(names, "relaxed", work));
}

/**
 * Like `writeRelaxed`, for what was made from the rest: it does not count as a change of it.
 * @template Answer
 * @param {StoreName[]} names
 * @param {(stores: Stores) => (() => Answer) | void} work
 * @returns {Promise<Answer>}
 */
export function writeAside(names, work) {
  return run(names, "readwrite", "relaxed", work);
}

// Each write counts one up in its own transaction. Whoever keeps what was made from these stores keeps the number with
// it, and knows by it whether that is still true. Feeds have marks of their own.
function counted(names, durability, work) {
  if (!names.some((name) => STORES.includes(name))) return [names, "readwrite", durability, work];
  const counting = (stores) => {
    const before = stores.kept.get("writes");
    before.onsuccess = () => stores.kept.put((before.result ?? 0) + 1, "writes");
    return work(stores);
  };
  return [[...new Set([...names, "kept"])], "readwrite", durability, counting];
}

/**
 * Inside a transaction: wait for several requests, then call `then({name: result})` in the same transaction.
 * @template {Asked} Requests
 * @param {Requests} requests
 * @param {(found: Found<Requests>) => void} then
 */
export function whenAll(requests, then) {
  const names = Object.keys(requests);
  const answers = /** @type {any} */ ({});
  let waiting = names.length;
  for (const name of names) {
    requests[name].onsuccess = () => {
      answers[name] = requests[name].result;
      waiting -= 1;
      if (waiting === 0) then(answers);
    };
  }
}

/** @template {keyof Kept} Name @param {Name} name @returns {Promise<Kept[Name]>} */
export async function getKept(name) {
  return (await read(["kept"], ({ kept }) => ({ value: kept.get(name) }))).value;
}

/** @template {keyof Kept} Name @param {Name} name @param {Kept[Name]} value */
export function setKept(name, value) {
  return write(["kept"], ({ kept }) => void kept.put(value, name));
}
