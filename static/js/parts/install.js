// Keeping the app and its data: the home screen, and the browser's word that it will not clear what is kept.
import { CHANGED, tellHere } from "../store/news.js";
import { h } from "../ui/dom.js";

let prompt = null;
let lasting = null; // true, false, or null while unknown

window.addEventListener("beforeinstallprompt", (event) => {
  event.preventDefault();
  prompt = event;
  tellHere(CHANGED);
});
window.addEventListener("appinstalled", () => {
  prompt = null;
  tellHere(CHANGED);
});
navigator.storage?.persisted?.().then((answer) => {
  lasting = answer;
  tellHere(CHANGED);
});

/** Ask the browser to keep the data for good; worth asking once there is a dive to lose. */
export async function askToKeep() {
  try {
    lasting = (await navigator.storage?.persist?.()) ?? null;
  } catch {
    lasting = null; // no such promise in this browser
  }
}

export function drawInstall() {
  const standing = matchMedia("(display-mode: standalone)").matches || navigator.standalone === true;
  return [
    prompt && h("p", null, h("button", { type: "button", class: "button-quiet", id: "install", click: () => prompt.prompt() }, "Put Lineslate on the home screen")),
    !standing && !prompt && "standalone" in navigator && h("p", { class: "small" },
      "On this phone: Share, then Add to Home Screen, before the first dive. The home screen keeps its own log, and keeps it longer than a tab."),
    lasting !== null && h("p", { class: "soft small" }, lasting
      ? "The browser has agreed to keep this log until you remove it."
      : "The browser may clear this log when space runs out. Send it when there is signal."),
  ];
}
