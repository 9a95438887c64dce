// Tells every open page of this app, this page too, that something in the phone's storage has changed.
const here = new EventTarget();
const elsewhere = "BroadcastChannel" in globalThis ? new BroadcastChannel("lineslate") : null;

elsewhere?.addEventListener("message", (event) => repeat(event.data));

function repeat(what) {
  here.dispatchEvent(new CustomEvent("news", { detail: what }));
}

export const CHANGED = "changed"; // records, outbox or snapshot
export const SAVED = "saved"; // a new operation waits in the outbox
export const BLOCKED = "blocked"; // another tab has an older database open
export const OUTDATED = "outdated"; // a newer page wants to change the database: this page has closed its handle

export function tell(what) {
  repeat(what);
  elsewhere?.postMessage(what);
}

export function tellHere(what) {
  repeat(what);
}

export function hear(listener) {
  here.addEventListener("news", (/** @type {CustomEvent} */ event) => listener(event.detail));
}
