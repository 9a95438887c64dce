// Registers the service worker and says when it was installed. A new version waits until the diver asks for it.
import { now } from "../clock.js";
import { ACTIVATE, KEEP_MORE } from "../messages.js";
import { byId, h, put } from "../ui/dom.js";

const WORKER = "/service_worker/service-worker.js";
const CHECK_EVERY_MS = 15 * 60 * 1000;

let asked = false;

/** Register the worker; resolves to its registration, or null where there are no workers. */
async function registerWorker() {
  if (!("serviceWorker" in navigator)) return null;
  try {
    return await navigator.serviceWorker.register(WORKER, { type: "module", scope: "/", updateViaCache: "none" });
  } catch (error) {
    console.warn("no service worker:", error.message); // no signal and no worker yet, or an old browser
    return null;
  }
}

export async function startUpdates() {
  const registration = await registerWorker();
  if (!registration) return;
  navigator.serviceWorker.addEventListener("controllerchange", () => asked && location.reload());
  // not on a first visit, which no worker controls: it must not take long where the signal is weak
  navigator.serviceWorker.controller?.postMessage({ say: KEEP_MORE });
  if (registration.waiting) offer(registration.waiting);
  if (registration.installing) follow(registration.installing);
  registration.addEventListener("updatefound", () => follow(registration.installing));
  checkForUpdates(registration);
}

function follow(worker) {
  worker?.addEventListener("statechange", () => {
    if (worker.state !== "installed") return;
    if (navigator.serviceWorker.controller) offer(worker);
    else say("From now on Lineslate opens on this phone without signal.");
  });
}

function offer(worker) {
  const use = () => {
    asked = true;
    worker.postMessage({ say: ACTIVATE });
  };
  say(
    "A new version is ready. Saved dives and an unfinished form stay.",
    h("button", { type: "button", id: "use-update", click: use }, "Use it now"),
    h("button", { type: "button", class: "button-quiet", click: () => put(byId("app-news")) }, "Later"),
  );
}

function say(words, ...buttons) {
  put(byId("app-news"),
    h("div", { class: "news" }, h("p", null, words), buttons.length > 0 && h("div", { class: "row" }, buttons)));
}

function checkForUpdates(registration) {
  let last = now();
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState !== "visible" || now() - last < CHECK_EVERY_MS) return;
    last = now();
    registration.update().catch(() => {}); // no signal: this version stays in use
  });
}
