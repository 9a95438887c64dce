// What this phone does for the clock now: screen and sound as they are, not as they were wished.
import { awakeIs } from "../ui/awake.js";
import { h, redraw } from "../ui/dom.js";
import { soundIs } from "../ui/sound.js";
import { TEXTS } from "./clock_words.js";

const SCREEN = {
  off: "The screen is kept on while a dive is timed, where the browser can.",
  held: "The screen stays on while this page is in front.",
  lost: "The screen may turn off now: touch the page once.",
  refused: "This phone refuses to keep the screen on (low battery?). Touch the screen before it turns off.",
  cannot: "This browser cannot keep the screen on. Set the phone's own screen time to its longest.",
};
const SOUND = {
  on: "Sound is on.",
  off: "No sound yet: touch anywhere on this page.",
  cannot: "This browser has no sound for the calls. Watch the words.",
};

const MUTED = "Sound and vibration are off: watch the words.";

/** @param {Element} place @param {{ muted: boolean, toggle: () => void }} how */
export function drawPhone(place, { muted, toggle }) {
  const sound = soundIs();
  const state = `${awakeIs()} ${sound} ${muted}`;
  if (/** @type {any} */ (place).dataset.state === state) return;
  /** @type {any} */ (place).dataset.state = state;
  redraw(place,
    h("p", { id: "sound-says", role: "status" }, muted ? MUTED : SOUND[sound]),
    h("p", null, h("button", { type: "button", class: "button-quiet", id: "mute", "aria-pressed": String(muted),
      click: toggle }, "Mute")),
    h("p", { id: "screen-says", role: "status" }, SCREEN[awakeIs()]),
    (TEXTS.about ?? []).map((says) => h("p", null, says)));
}

/** Near the clock while a dive is timed: only what this phone does not do now. @param {Element} place */
export function drawWarnings(place, { muted, isTiming }) {
  const says = !isTiming ? [] : [
    muted ? MUTED : soundIs() !== "on" && SOUND[soundIs()],
    awakeIs() !== "held" && awakeIs() !== "off" && SCREEN[awakeIs()]].filter(Boolean);
  if (place.textContent === says.join("")) return;
  redraw(place, says.map((words) => h("p", { class: "flag" }, words)));
}
