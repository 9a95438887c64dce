// Keeping the app and its data: the button for the home screen, and the browser's promise not to clear the data.
import { CHANGED, tellHere } from "../store/news.js";
import { h } from "../ui/dom.js";

let prompt = null;
let persistent = null; // true, false, or null while unknown

window.addEventListener("beforeinstallprompt", (event) => {
  event.preventDefault();
  prompt = event;
  tellHere(CHANGED);
});
window.addEventListener("appinstalled", () => {
  prompt = null;
  tellHere(CHANGED);
});

/** Ask whether the browser keeps the data for good, and draw once more with its answer. */
export async function startInstall() {
  persistent = (await navigator.storage?.persisted?.()) ?? null;
  if (persistent !== null) tellHere(CHANGED);
}

/** Ask the browser to keep the data for good; asked once there is a dive to lose. */
export async function askToKeep() {
  try {
    persistent = (await navigator.storage?.persist?.()) ?? null;
  } catch {
    persistent = null; // this browser makes no such promise
  }
}

export function drawInstall() {
  const installed = matchMedia("(display-mode: standalone)").matches || navigator.standalone === true;
  return [
    prompt &&
      h(
        "p",
        null,
        h(
          "button",
          { type: "button", class: "button-quiet", id: "install", click: () => prompt.prompt() },
          "Add Lineslate to the home screen",
        ),
      ),
    !installed &&
      !prompt &&
      "standalone" in navigator &&
      h(
        "p",
        { class: "small" },
        "On this phone: touch Share, then Add to Home Screen, before the first dive. The app on the home screen has " +
          "its own log and keeps it longer than a tab.",
      ),
    persistent !== null &&
      h(
        "p",
        { class: "soft small" },
        persistent
          ? "The browser has agreed to keep this log until you remove it."
          : "The browser may clear this log when space runs out. Send it when there is signal.",
      ),
  ];
}
