// How long everyone on the boat has been out of the water: divers and safety divers, from the clocks and the log of
// today. It shows times; it never says that anybody may dive.
import { instant, now } from "../clock.js";
import { keyOf } from "../store/keys.js";
import { inOrder } from "../plan/surfaced.js";
import { takenOf, wholeOf } from "../timing/dive_clock.js";
import { h } from "../ui/dom.js";
import { everySecond } from "../ui/every_second.js";
import { metres, minutes } from "../ui/words.js";
import { leastPause } from "./pause_clock.js";

const ROUNDING_S = 60; // a typed time of day has no seconds

/**
 * The table of everyone who was in the water today, ticking while it is in the page; null when nobody was.
 * @param {Slate} slate
 */
export function boatIntervals(slate) {
  const people = peopleOf(slate);
  if (people.length === 0) return null;
  const rows = people.map((person) => row(person, slate));
  const element = h("section", { class: "sheet", id: "boat-intervals", "aria-labelledby": "intervals-head" },
    h("h2", { id: "intervals-head" }, "Surface intervals of everyone"),
    h("table", { class: "intervals" },
      h("caption", null, "Time since each was last in the water today. Only this phone's diver has a minimum; it is " +
        "not permission to dive."),
      h("thead", null, h("tr", null, ["Who", "Since a dive", "Since safety"]
        .map((words) => h("th", { scope: "col" }, words)))),
      h("tbody", null, rows.map(({ element: one }) => one))));
  const stop = everySecond(() => {
    if (element.dataset.shown && !element.isConnected) return stop();
    if (element.isConnected) element.dataset.shown = "yes";
    for (const one of rows) one.tick();
  });
  return element;
}

/**
 * Everyone who dived or was safety today: {name, isOwn, isDown, dive: {ms, depth_m}, safety: {ms}}.
 * @param {Slate} slate
 */
export function peopleOf(slate) {
  const people = new Map();
  const own = slate.user?.name ?? "This phone's diver";
  const person = (name) => {
    const key = name.trim().toLowerCase();
    const isOwn = key === own.toLowerCase();
    if (!people.has(key)) people.set(key, { name: isOwn ? own : name.trim(), isOwn, dive: null, safety: null });
    return people.get(key);
  };
  for (const { name, ms, depth_m, safety, isDown } of divesOf(slate)) {
    const diver = person(name || own);
    diver.isDown ||= isDown;
    if (ms !== null) diver.dive = later(diver.dive, { ms, depth_m });
    for (const one of namesIn(safety)) noteSafety(person(one), ms, isDown);
  }
  return [...people.values()].sort((one, other) => Number(other.isOwn) - Number(one.isOwn));
}

function noteSafety(one, ms, isDown) {
  one.isSafety ||= isDown;
  if (ms !== null) one.safety = later(one.safety, { ms });
}

const later = (one, other) => (one && one.ms > other.ms ? one : other);
const namesIn = (text) => (text ?? "").split(/,|;|&|\+|\band\b/i).map((name) => name.trim()).filter(Boolean);

// Each dive once: what the log has of this phone's diver is no longer taken from the clock.
function divesOf(slate) {
  const logged = inOrder(slate.dives.filter((dive) => dive.date === slate.today));
  return [
    ...logged.map(({ dive, ms }) => ({ name: "", ms, depth_m: dive.reached_m, safety: /** @type {any} */ (dive).safety,
      isDown: false })),
    ...timed(slate).map(({ name, surfaced_ms, target_m, safety }) =>
      ({ name, ms: surfaced_ms ?? null, depth_m: target_m, safety, isDown: !surfaced_ms }))];
}

/** Today's clocks that began and are not in the log yet. @param {Slate} slate */
function timed({ kept, user, today, dives }) {
  const begun = ({ started_ms, official_ms }) => (started_ms ?? official_ms) <= now();
  return wholeOf(kept[keyOf.clocks(user?.id)]).filter((clock) => clock.day === today && begun(clock) &&
    !isLogged(clock, dives));
}

/** Whether this dive of the phone's diver is in the log. @param {DiveClock} clock @param {Dive[]} dives */
export function isLogged({ name, logged, surfaced_ms }, dives) {
  if (name || !surfaced_ms) return false;
  return dives.some(({ id, surfaced_at }) => id === logged || surfaced_at === instant(surfaced_ms));
}

/** The least pause of this phone's diver, with the dives that are not logged yet. @param {Slate} slate */
function leastOf(slate) {
  const more = timed(slate).filter(({ name, surfaced_ms, target_m }) => !name && surfaced_ms && target_m)
    .map((clock) => ({ id: clock.id, kind: "dive", date: slate.today, discipline: clock.discipline,
      reached_m: clock.target_m, dive_s: takenOf(clock), surfaced_at: instant(clock.surfaced_ms) }));
  return leastPause({ ...slate, dives: [...slate.dives, ...more] });
}

function row({ name, isOwn, isDown, isSafety, dive, safety }, slate) {
  const [sinceDive, sinceSafety] = [h("span", { class: "number" }), h("span", { class: "number" })];
  const least = isOwn && dive && !isDown ? leastOf(slate) : null;
  const element = h("tr", null,
    h("th", { scope: "row" }, name,
      least !== null && h("span", { class: "small interval-least" }, `at least ${minutes(least)} by the longest rule`)),
    h("td", null, sinceDive, dive?.depth_m && !isDown && h("span", { class: "small" }, ` ${metres(dive.depth_m)}`)),
    h("td", null, sinceSafety));
  return { element, tick: () => {
    sinceDive.textContent = isDown ? "in the water" : since(dive);
    sinceSafety.textContent = isSafety ? "now" : since(safety);
  } };
}

function since(one) {
  if (!one) return "–";
  const seconds = Math.floor((now() - one.ms) / 1000);
  return seconds < -ROUNDING_S ? "?" : minutes(seconds);
}
