// Keeps what Today shows, so that the app opens with it the next time, before its code is there. Links work in it from
// the first frame on; what needs the code cannot be touched, and a time that has gone on since then is not shown.
import { keepFirstView } from "../store/first_view.js";

const NEEDS_CODE = "button, input, form";
const OF_THIS_MOMENT = "[data-of-this-moment]";
const NOT_CONTENT = "#alarm, noscript";

/**
 * Keep the drawing that was made from this slate, once it can be seen.
 * @param {Slate} slate
 */
export function keepDrawing({ plan, kept, today }) {
  if (!plan) return;
  requestAnimationFrame(() => setTimeout(() => {
    const { version } = document.documentElement.dataset;
    const view = { day: today, version, writes: kept.writes, markup: markup() };
    if (isSame(view, kept.first_view)) return;
    keepFirstView(view).catch((error) => console.warn(error)); // the app then opens as it did before
  }));
}

function isSame(view, other) {
  return Object.entries(view).every(([name, value]) => other?.[name] === value);
}

// Made by the browser from the elements: what a diver typed is text in it, and stays text when it is read again.
function markup() {
  const content = /** @type {HTMLElement} */ (document.querySelector("main").cloneNode(true));
  for (const part of content.querySelectorAll(NOT_CONTENT)) part.remove();
  for (const part of content.querySelectorAll(NEEDS_CODE)) part.setAttribute("inert", "");
  for (const part of content.querySelectorAll(OF_THIS_MOMENT)) part.classList.add("not-yet");
  return content.innerHTML.trim();
}
