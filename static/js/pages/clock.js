// The dive clock: times dives, calls what comes, and leads to the log. Each touch is a moment that the phone keeps.
import { localDay, now } from "../clock.js";
import { boatIntervals, isLogged } from "../parts/boat_intervals.js";
import { clockPanel, drawnAs } from "../parts/clock_panel.js";
import { clockSetup, plannedDive } from "../parts/clock_setup.js";
import { drawPhone, drawWarnings } from "../parts/clock_phone.js";
import { drawThumb } from "../parts/clock_thumb.js";
import { sitesOfCrews, withTurns } from "../parts/crew_late.js";
import { planFirst } from "../parts/site_plan.js";
import { watchSeconds } from "../parts/clock_words.js";
import { changeClocks } from "../store/clocks.js";
import { writeRelaxed } from "../store/db.js";
import { newId } from "../store/ids.js";
import { keyOf } from "../store/keys.js";
import { allCalls, around, keptOn, phaseOf, secondsOf, startOf, wholeOf } from "../timing/dive_clock.js";
import { SHAKES, tonesOf } from "../timing/tones.js";
import { warn } from "../ui/alarm.js";
import { ask, keepAwake } from "../ui/awake.js";
import { byId, h, put, redraw } from "../ui/dom.js";
import { everySecond } from "../ui/every_second.js";
import { hasDrifted, planTones, plannedTones, soundIs, wakeSound } from "../ui/sound.js";
import { startBoat } from "./boat.js";

const TICK_MS = 200; // a call comes at most this late
const TWICE_MS = 1500; // wet fingers touch twice: the second touch in this time does nothing
const FRESH_S = 1; // a call is shaken only in its own second
const UP = ["watch", "up", "away"];
const NOT_KEPT = "NOT kept on this phone: it would not survive a reload. Write the times down.";

const asked = new URLSearchParams(location.search).get("plan");
let slate = null;
let clocks = [];
let writing = 0; // touches that are not on the disk yet: until then what the storage says is older than the page
let theirs = []; // sites whose plan a crew was given
let muted = false;
let panels = [];
let drawn = "";
let planned = "";
let setup = null;
const lastTouch = new Map(); // when the large button of each clock was touched
const lastCall = new Map(); // which call of each clock was shaken

startBoat((fresh) => {
  slate = fresh;
  if (writing === 0) clocks = wholeOf(slate.kept[keyOf.clocks(slate.user?.id)]).map(asLogged);
  muted = slate.kept.clock_muted ?? false;
  draw();
  void readTheirs(); // it tells what fails by itself
});

everySecond(tick, TICK_MS);
for (const touch of ["click", "pointerup"]) addEventListener(touch, awaken, { capture: true });

// A dive that was saved while the phone could not note it here is logged all the same.
function asLogged(clock) {
  return clock.logged || !isLogged(clock, slate.dives) ? clock : { ...clock, logged: true };
}

function awaken() {
  wakeSound(soundChanged);
  ask();
}

function soundChanged() {
  plan();
  showPhone();
}

const watch = () => watchSeconds(slate?.sheet);
const phase = (clock, ms = now()) => phaseOf(clock, ms, watch());

/** Those still shown, the one touched last first. */
function shown() {
  return clocks.filter((clock) => phase(clock) !== "away").sort((one, other) => other.touched_ms - one.touched_ms);
}

function draw() {
  const ms = now();
  const some = shown();
  const signature = JSON.stringify([some.map((clock) => drawnAs(clock, ms, watch())), slate.today]);
  if (signature !== drawn) drawPanels(some, ms);
  drawn = signature;
  drawSetup(some);
  redraw(byId("clock-intervals"), boatIntervals(asTouched()));
  drawThumb(byId("thumb"), thumbOrder(some), { phase: (clock) => phase(clock), begin: () => begin({}), act: guarded });
  keepAwake(some.some((clock) => !UP.includes(phase(clock)) || phase(clock) === "watch"), showPhone);
  plan();
  showPhone();
  for (const id of ["screen-and-sound", "thumb"]) byId(id).hidden = false;
  tick();
}

/** The slate with the clocks as they were touched: the storage may be a moment behind. @returns {Slate} */
function asTouched() {
  return { ...slate, kept: { ...slate.kept, [keyOf.clocks(slate.user?.id)]: clocks } };
}

function drawPanels(some, ms) {
  byId("clock").className = some.length > 1 ? "many" : "one";
  byId("clock-title").classList.toggle("visually-hidden", some.length > 0);
  panels = some.map((clock) =>
    clockPanel(clock, { phase: phase(clock, ms), watch_s: watch(), isOne: some.length === 1, site: theSite() },
      (what, value) => act(clock.id, what, value)));
  redraw(byId("clock"), panels.map(({ element }) => element));
}

/** What the site's emergency plan says. @returns {Fields} */
function theSite() {
  return planFirst(slate.rows.find(({ record }) => record === slate.season?.site) ?? null, theirs)?.fields ?? {};
}

// The plans that a crew was given come a moment later: a running clock is drawn anew with them.
async function readTheirs() {
  const found = await sitesOfCrews(slate.user);
  if (JSON.stringify(found) !== JSON.stringify(theirs)) drawn = "";
  theirs = found;
}

// The buttons stay where they are, whichever clock was touched last.
function thumbOrder(some) {
  return some.toSorted((one, other) => startOf(one) - startOf(other) || (one.id < other.id ? -1 : 1));
}

// The form stands there while nothing is timed; beside a running clock it is folded.
function drawSetup(some) {
  const isFirst = some.length === 0;
  const chosen = isFirst ? plannedDive(slate, asked) ?? plannedDive(slate, firstOpen()) : null;
  const from = JSON.stringify([isFirst, chosen, Boolean(slate.sheet), slate.user, slate.today]);
  if (setup && (setup.from === from || (setup.isFirst === isFirst && setup.touched()))) return;
  const { element, read } = clockSetup(slate, chosen, countDown, isFirst ? null : () => begin({}));
  let touched = false;
  element.addEventListener("input", () => (touched = true));
  setup = { from, isFirst, read, touched: () => touched };
  put(byId("clock-setup"), isFirst ? element
    : h("details", { id: "another", class: "sheet" }, h("summary", null, "Time another dive as well"), element));
}

function firstOpen() {
  const day = slate.plan?.days.find(({ date }) => date === slate.today);
  const index = day?.dives.findIndex((dive) => dive.done === null) ?? -1;
  return asked === null || index < 0 ? null : index;
}

function countDown(minutesOrMs) {
  const official_ms = minutesOrMs < 1000 ? now() + minutesOrMs * 60_000 : minutesOrMs;
  if (official_ms <= now()) return false;
  begin({ official_ms });
  return true;
}

function begin({ official_ms = null }) {
  const ms = now();
  const clock = { id: newId(), day: localDay(ms), ...setup.read(), started_ms: official_ms ? null : ms, official_ms,
    bottom_ms: null, surfaced_ms: null, logged: false, done: false, touched_ms: ms };
  lastTouch.set(clock.id, ms);
  setup = null;
  change((list) => [...list, clock]);
  scrollTo(0, 0);
}

function guarded(id, what) {
  const since = now() - (lastTouch.get(id) ?? -Infinity);
  if (since >= 0 && since < TWICE_MS) return;
  lastTouch.set(id, now());
  act(id, what);
}

const CHANGES = {
  start: (_, ms) => ({ started_ms: ms, bottom_ms: null }),
  shift: (clock, ms, seconds) => ({ started_ms: Math.min(ms, startOf(clock) + seconds * 1000) }),
  bottom: ({ bottom_ms }, ms) => ({ bottom_ms: bottom_ms ? null : ms }),
  surface: (clock, ms) => ({ surfaced_ms: ms, started_ms: startOf(clock) }),
  unsurface: () => ({ surfaced_ms: null, done: false }),
  done: () => ({ done: true }),
  safety: (_clock, _ms, name) => ({ safety: name.trim() }),
};

function act(id, what, value) {
  const ms = now();
  if (what === "remove") return removeTwice(id);
  const fields = (clock) => ({ ...CHANGES[what](clock, ms, value), ...(what === "safety" ? {} : { touched_ms: ms }) });
  const before = clocks.find((clock) => clock.id === id);
  change((list) => list.map((clock) => (clock.id === id ? { ...clock, ...fields(clock) } : clock)));
  const after = clocks.find((clock) => clock.id === id);
  if (what.endsWith("surface")) withTurns(slate.user, ({ tellClock }) => tellClock(slate, before, after));
}

// The first touch asks, the second removes.
function removeTwice(id) {
  const button = byId(`remove-${id}`);
  if (button.dataset.asked) return change((list) => list.filter((clock) => clock.id !== id));
  button.dataset.asked = "yes";
  button.textContent = "Touch again to remove it";
}

// The page shows a touch at once; that it is kept is checked, and said when it is not.
async function change(work) {
  clocks = work(clocks);
  draw();
  writing += 1;
  try {
    await changeClocks(slate.user, (kept) => keptOn(work(wholeOf(kept)), localDay()));
  } catch (error) {
    console.error(error);
    warn(NOT_KEPT);
  } finally {
    writing -= 1;
  }
}

function tick() {
  if (!slate) return;
  const ms = now();
  const signature = JSON.stringify([shown().map((clock) => drawnAs(clock, ms, watch())), slate.today]);
  if (signature !== drawn) return draw();
  for (const panel of panels) panel.tick(ms);
  for (const clock of clocks) shake(clock, ms);
  if (hasDrifted()) plan(true);
}

function shake(clock, ms) {
  if (clock.surfaced_ms || !navigator.vibrate) return;
  const t_s = secondsOf(clock, ms);
  const { last } = around(allCalls(clock), t_s);
  const key = last ? `${last.call} ${last.at_s}` : "";
  const isNew = last && lastCall.get(clock.id) !== key && t_s - last.at_s < FRESH_S;
  if (isNew && !muted) navigator.vibrate(SHAKES[last.call]);
  lastCall.set(clock.id, key);
}

// Tones are planned once for each state: planning them anew would cut off an alarm that sounds.
function plan(anew = false) {
  const moments = clocks.map(({ id, started_ms, official_ms, surfaced_ms, logged, done }) =>
    [id, started_ms, official_ms, surfaced_ms, logged, done]);
  const state = JSON.stringify([muted, soundIs(), watch(), moments]);
  if (state === planned && !anew) return;
  planned = state;
  planTones(muted ? [] : clocks.flatMap((clock) => tonesNow(clock, now())));
  byId("clock").dataset.tones = JSON.stringify(plannedTones());
}

function tonesNow(clock, ms) {
  const is = phase(clock, ms);
  if (["up", "away", "ahead"].includes(is)) return [];
  const from = is === "watch" ? clock.surfaced_ms : startOf(clock);
  const calls = is === "watch" ? [{ call: "watched", at_s: watch() }] : allCalls(clock);
  return tonesOf(calls, (ms - from) / 1000).map(({ at_s, ...tone }) => ({ ...tone, at_ms: from + at_s * 1000 }));
}

function showPhone() {
  drawPhone(byId("clock-phone"), { muted, toggle: mute });
  drawWarnings(byId("clock-warns"), { muted, isTiming: clocks.some((clock) => !UP.includes(phase(clock))) });
}

function mute() {
  muted = !muted;
  slate.kept.clock_muted = muted;
  writeRelaxed(["kept"], ({ kept }) => void kept.put(muted, "clock_muted")).catch((error) => console.error(error));
  plan();
  showPhone();
}
