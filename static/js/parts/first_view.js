// Keeps what Today shows, so that the app opens with it the next time, before its code is there: as much of it as can
// be seen without scrolling. Links work in it from the first frame on; what needs the code cannot be touched, and a
// time that has gone on since then is not shown.
import { writeAside } from "../store/db.js";
import { byId } from "../ui/dom.js";

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
    const { version, theme = "" } = document.documentElement.dataset;
    const view = { day: today, version, theme, writes: kept.writes, markup: markup() };
    if (isSame(view, kept.first_view)) return;
    keepView(view).catch((error) => console.warn(error)); // the app then opens as it did before
  }));
}

/**
 * Keep it, unless something was written since: a log that was taken off the phone must not come back in it.
 * @param {FirstView} view
 */
export function keepView(view) {
  return writeAside(["kept"], ({ kept }) => {
    const now = kept.get("writes");
    now.onsuccess = () => now.result === view.writes && kept.put(view, "first_view");
  });
}

function isSame(view, other) {
  return Object.entries(view).every(([name, value]) => other?.[name] === value);
}

// Made by the browser from the elements: what a diver typed is text in it, and stays text when it is read again.
function markup() {
  const content = byId("main").cloneNode(true);
  const unseen = [...content.querySelector("#today").children].slice(countSeen());
  for (const part of [...unseen, ...content.querySelectorAll(NOT_CONTENT)]) part.remove();
  for (const part of content.querySelectorAll(NEEDS_CODE)) part.setAttribute("inert", "");
  for (const part of content.querySelectorAll(OF_THIS_MOMENT)) part.classList.add("not-yet");
  return content.innerHTML.trim();
}

// How many parts of the page begin on its first screen, above the large button that covers the foot of it.
function countSeen() {
  const tops = [...byId("today").children].map((part) => part.getBoundingClientRect().top + scrollY);
  const edge = Math.min(innerHeight, byId("thumb").getBoundingClientRect().top);
  return tops.filter((top) => top < edge).length;
}
