// When to sync: at start, when the signal or the page comes back, after each saved dive, and by a timer that slows
// down.
import { getKept, setKept } from "../store/db.js";
import { CHANGED, SAVED, hear, tell } from "../store/news.js";
import { park } from "../store/outbox.js";
import { askWhoIsSignedIn, exchange } from "./exchange.js";
import { offerAgain } from "./restored.js";

const MOST_OPERATIONS = 100;
const FIRST_WAIT_MS = 5_000;
const LONGEST_WAIT_MS = 300_000;
const MOST_ASKED_WAIT_S = 300; // the server may not ask for a longer wait

let running = false;
let again = false;
let most = MOST_OPERATIONS;
let waitMs = FIRST_WAIT_MS;
let timer = null;
let byHand = false; // the diver asked to send: then the browser's "offline", which may be wrong, does not count
let noSyncBefore = 0; // by performance.now(): the server asked to wait until then, whatever the reason to send

/** Start sending and receiving for as long as this page lives. */
export function startSync() {
  const soon = () => void sendNow(); // it keeps what fails to itself, and tries again later
  window.addEventListener("online", soon);
  window.addEventListener("pageshow", (event) => event.persisted && soon());
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && soon());
  hear((what) => what === SAVED && soon());
  soon();
}

/** Sync now, whatever the timer says; a second call during a sync makes it run once more. */
export async function sendNow({ asked = false } = {}) {
  byHand ||= asked;
  if (running) {
    again = true;
    return;
  }
  running = true;
  clearTimeout(timer);
  try {
    do {
      again = false;
      await withLock(run);
    } while (again);
  } catch (error) {
    console.error(error); // the phone's own storage failed: nothing has left the outbox
    await wait(false);
  } finally {
    running = false;
  }
}

// Only to save traffic: two tabs that send the same thing do no harm, the server knows each operation by its id.
function withLock(work) {
  if (!navigator.locks) return work();
  return navigator.locks.request("sync", { ifAvailable: true }, (lock) => (lock ? work() : wait(false)));
}

async function run() {
  const offline = navigator.onLine === false;
  if (offline && !byHand) return finish({ kind: "offline" });
  byHand = false;
  const stillMs = noSyncBefore - performance.now();
  if (stillMs > 0) return sendIn(stillMs);
  for (;;) {
    const reply = await exchange(most);
    if (reply.kind === "answer") {
      tell(CHANGED);
      most = Math.min(MOST_OPERATIONS, most * 2);
      const offered = reply.more || !reply.offering ? 0 : await offerAgain(reply.body.user.id);
      if (!reply.more && !offered && (reply.left.length === 0 || (stuck(reply) && !reply.offering)))
        return finish(reply);
    } else if (reply.kind === "other-user" && (await askWhoIsSignedIn()).kind === "answer") {
      continue;
    } else if (!(await reduced(reply))) {
      return finish(offline && reply.kind === "no-server" ? { kind: "offline" } : reply);
    }
  }
}

// Whether an answer names none of the operations sent: then asking again at once would never end.
/** @param {Exchanged} reply */
function stuck({ sent, left }) {
  const waiting = new Set(left.map((row) => row.op));
  return sent.every((row) => waiting.has(row.op));
}

// Halve the batch, down to one operation. An operation that is refused alone is parked, and the others are sent.
/** @param {Exchanged} reply */
async function reduced({ kind, sent, says, faults = [] }) {
  if (!["too-much", "slow", "refused"].includes(kind) || sent.length === 0) return false;
  if (kind === "refused" && faults.length > 0) return false; // the request around the operations is at fault, no dive
  most = Math.max(1, Math.floor(sent.length / 2));
  if (kind === "slow") return false;
  if (sent.length === 1) await park(sent[0], [{ field: "", says: says ?? "This is too large to be sent" }]);
  return true;
}

/** @param {Word & { left?: Operation[] }} reply */
async function finish(reply) {
  const before = await getKept("sync");
  const state = { kind: reply.kind, says: reply.says ?? null };
  if (JSON.stringify(before) !== JSON.stringify(state)) {
    await setKept("sync", state);
    tell(CHANGED);
  }
  const done = reply.kind === "answer" && reply.left.length === 0;
  const askedS = Math.min(reply.waitS ?? 0, MOST_ASKED_WAIT_S);
  noSyncBefore = performance.now() + askedS * 1000;
  wait(done, askedS);
}

/** @param {boolean} done @param {number} [atLeastS] */
function wait(done, atLeastS = 0) {
  waitMs = done ? FIRST_WAIT_MS : Math.min(LONGEST_WAIT_MS, waitMs);
  sendIn(done ? LONGEST_WAIT_MS : Math.max(atLeastS * 1000, waitMs * (0.75 + Math.random() / 2)));
  if (!done) waitMs *= 2;
}

/** @param {number} pauseMs */
function sendIn(pauseMs) {
  clearTimeout(timer);
  timer = setTimeout(sendNow, pauseMs);
}
