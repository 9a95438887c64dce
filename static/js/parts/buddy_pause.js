// The pause after the diver's last dive on a buddy's page: it counts and shows a minimum; it never says that one may
// dive.
import { now } from "../clock.js";
import { h } from "../ui/dom.js";
import { minutes } from "../ui/words.js";

const AHEAD_S = -60; // up to a minute ahead is rounding, more is a wrong clock
const STALE_S = 3 * 3600; // this long after its end the pause says nothing any more

/**
 * The pause as {element, tick}; null when there is none.
 * @param {BuddyList["pause"]} pause
 */
export function buddyPause(pause) {
  if (!pause) return null;
  const since = h("span", { class: "buddy-since number" });
  const state = h("span", { class: "buddy-says" });
  const element = h("p", { class: "buddy-pause" }, h("b", null, "Pause since the last dive"), since,
    h("span", null, `at least ${minutes(pause.seconds)} by the longest rule`), state,
    h("span", { class: "small" }, "A minimum is not permission to dive."));
  return { element, tick: () => tick(pause, { element, since, state }) };
}

/** @param {NonNullable<BuddyList["pause"]>} pause @param {{ [name: string]: HTMLElement }} parts */
function tick(pause, { element, since, state }) {
  const seconds = Math.floor((now() - Date.parse(pause.surfaced_at)) / 1000);
  element.hidden = seconds > pause.seconds + STALE_S;
  if (seconds < AHEAD_S) {
    since.textContent = "?";
    state.textContent = "The time surfaced is ahead of this phone's clock. Check both.";
    return;
  }
  since.textContent = minutes(Math.max(0, seconds));
  const left = pause.seconds - Math.max(0, seconds);
  state.textContent = left <= 0 ? "minimum interval reached" : `${minutes(left)} left`;
}
