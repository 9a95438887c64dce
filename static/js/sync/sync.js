// When to send: at start, when signal or light comes back, after each log, and by a timer that is ever more patient.
import { getKept, setKept } from "../store/db.js";
import { CHANGED, SAVED, hear, tell } from "../store/news.js";
import { park } from "../store/outbox.js";
import { exchange, meet } from "./exchange.js";
import { offerAgain } from "./restored.js";

const MOST_OPERATIONS = 100;
const FIRST_WAIT_MS = 5_000;
const LONGEST_WAIT_MS = 300_000;
const LONGEST_HOLD_S = 300; // a server that asks for more is not believed

let running = false;
let again = false;
let most = MOST_OPERATIONS;
let waitMs = FIRST_WAIT_MS;
let timer = null;
let byHand = false; // the diver's word counts more than the browser's, which may be wrong about the network
let heldUntil = 0; // on the clock that only goes on: what the server asked to wait holds for every reason to send

/** Start sending and receiving for as long as this page lives. */
export function startSync() {
  const soon = () => sendNow();
  window.addEventListener("online", soon);
  window.addEventListener("pageshow", (event) => event.persisted && soon());
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && soon());
  hear((what) => what === SAVED && soon());
  soon();
}

/** Send now, whatever the timer says; a second call while one runs makes that one go round once more. */
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
    console.error(error); // the phone's own storage failed: nothing was taken out of the outbox
    await wait(false);
  } finally {
    running = false;
  }
}

// Only for thrift: two tabs that send the same thing do no harm, the server knows each operation by its name.
function withLock(work) {
  if (!navigator.locks) return work();
  return navigator.locks.request("sync", { ifAvailable: true }, (lock) => (lock ? work() : wait(false)));
}

async function run() {
  const offline = navigator.onLine === false;
  if (offline && !byHand) return finish({ kind: "offline" });
  byHand = false;
  const heldMs = heldUntil - performance.now();
  if (heldMs > 0) return sendIn(heldMs);
  for (;;) {
    const word = await exchange(most);
    if (word.kind === "answer") {
      tell(CHANGED);
      most = Math.min(MOST_OPERATIONS, most * 2);
      const offered = word.more ? 0 : await offerAgain(word.body.user.id);
      if (!word.more && !offered && (word.left.length === 0 || (stuck(word) && !word.offering))) return finish(word);
    } else if (word.kind === "other-user" && (await meet()).kind === "answer") {
      continue;
    } else if (!(await eased(word))) {
      return finish(offline && word.kind === "no-server" ? { kind: "offline" } : word);
    }
  }
}

// An answer that names none of the operations sent must not be asked for again at once, unless they were held back.
function stuck({ sent, left }) {
  const waiting = new Set(left.map((row) => row.op));
  return sent.every((row) => waiting.has(row.op));
}

// Halve what is too much, down to one operation; one that is refused alone is parked, and the others go on.
async function eased({ kind, sent, says, faults = [] }) {
  if (!["too-much", "slow", "refused"].includes(kind) || sent.length === 0) return false;
  if (kind === "refused" && faults.length > 0) return false; // of the request around them: no dive is at fault
  most = Math.max(1, Math.floor(sent.length / 2));
  if (kind === "slow") return false;
  if (sent.length === 1) await park(sent[0], [{ field: "", says: says ?? "This is too large to be sent" }]);
  return true;
}

async function finish(word) {
  const before = await getKept("sync");
  const state = { kind: word.kind, says: word.says ?? null };
  if (JSON.stringify(before) !== JSON.stringify(state)) {
    await setKept("sync", state);
    tell(CHANGED);
  }
  const done = word.kind === "answer" && word.left.length === 0;
  const holdS = Math.min(word.waitS ?? 0, LONGEST_HOLD_S);
  heldUntil = performance.now() + holdS * 1000;
  wait(done, holdS);
}

function wait(done, atLeastS = 0) {
  waitMs = done ? FIRST_WAIT_MS : Math.min(LONGEST_WAIT_MS, waitMs);
  sendIn(done ? LONGEST_WAIT_MS : Math.max(atLeastS * 1000, waitMs * (0.75 + Math.random() / 2)));
  if (!done) waitMs *= 2;
}

function sendIn(pauseMs) {
  clearTimeout(timer);
  timer = setTimeout(sendNow, pauseMs);
}
