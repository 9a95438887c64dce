// One dive on the dive clock: its time, its calls, the line, and after surfacing what to watch.
import { clockLine } from "../drawings/clock_line.js";
import { allCalls, around, bottomOf, markAt, phaseOf, secondsOf, takenOf } from "../timing/dive_clock.js";
import { h } from "../ui/dom.js";
import { localTime } from "../clock.js";
import { TEXTS, callWords, clockTime, filled, titleOf } from "./clock_words.js";
import { dialled } from "./site_plan.js";

const STARTED_S = 5; // of each touch that corrects the start
const AHEAD = "The phone's clock was set back: its time now is before the moment noted. Trust your stopwatch.";

/**
 * The panel of a clock, {element, tick(ms)}; `act(what, value)` is told of touches.
 * @param {DiveClock} clock
 * @param {{ phase: string, watch_s: number, isOne: boolean, site?: Fields }} how
 * @param {(what: string, value?: any) => void} act
 */
export function clockPanel(clock, { phase, watch_s, isOne, site = {} }, act) {
  const time = h("p", { class: "clock-time", role: "timer", "aria-live": "off" });
  const parts = partsOf(clock, phase, watch_s, site);
  const element = h("section", { class: `clock-panel is-${phase}`, id: `clock-${clock.id}`,
    "aria-labelledby": `title-${clock.id}` },
    h("h2", { id: `title-${clock.id}` }, titleOf(clock)),
    time, parts.element, touches(clock, phase, isOne, act), correct(clock, phase, act));
  return { element, tick: (ms) => {
    showTime(time, timeOf(clock, phase, ms));
    parts.tick(ms);
  } };
}

function partsOf(clock, phase, watch_s, site) {
  if (phase === "ahead") return still(h("p", { class: "alarm" }, AHEAD));
  if (phase === "watch") return watching(clock, watch_s);
  if (phase === "up") return still(up(clock, watch_s));
  return underWay(clock, phase, site);
}

const still = (element) => ({ element, tick: () => {} });

function timeOf(clock, phase, ms) {
  if (phase === "ahead") return "?";
  if (["watch", "up"].includes(phase)) return clockTime((ms - clock.surfaced_ms) / 1000);
  const t_s = secondsOf(clock, ms);
  return t_s < 0 ? `−${clockTime(Math.ceil(-t_s))}` : clockTime(t_s);
}

// The digits are as large as the screen lets them be: four of them larger than six.
function showTime(place, text) {
  if (place.textContent !== text) place.textContent = text;
  place.dataset.digits = String(text.length);
}

function underWay(clock, phase, site) {
  const calls = allCalls(clock);
  const line = clock.times && clock.times.turn_s !== null ? clockLine(clock.times) : null;
  const said = h("p", { class: "clock-said", role: "status" });
  const ago = h("p", { class: "clock-ago" });
  const over = h("p", { class: "clock-over" });
  const next = h("p", { class: "clock-next" });
  const element = h("div", null, over, phase === "overdue" && overdue(site),
    h("div", { class: "clock-body" }, h("div", { class: "clock-words" }, next, said, ago, measured(clock),
      calls.length === 0 && h("p", { class: "clock-none" },
        "No expected time is known: this clock only counts up and never calls overdue."),
      clock.safety && h("p", { class: "small" }, `Safety diver: ${clock.safety}`)),
    line && h("div", { class: "clock-drawn" }, line.element, h("p", { class: "small" }, "Estimate, not measured"))));
  return { element, tick: (ms) => {
    const t_s = secondsOf(clock, ms);
    sayCalls(calls, t_s, { said, ago, over, next });
    line?.move(t_s < 0 ? 0 : markAt(clock.times, t_s, bottomOf(clock)));
  } };
}

// The words of an overdue dive stand in its alert; how long it is over changes each second and is no alert.
function sayCalls(calls, t_s, { said, ago, over, next }) {
  const { last, next: coming } = around(calls, t_s);
  const back_s = calls.find(({ call }) => call === "back")?.at_s ?? Infinity;
  set(said, last && last.call !== "overdue" ? callWords(last, 0) : "");
  set(ago, last && t_s < back_s ? `${clockTime(t_s - last.at_s)} ago` : "");
  set(over, t_s >= back_s ? `${clockTime(t_s - back_s)} over the expected ${clockTime(back_s)}` : "");
  next.replaceChildren(...(coming ? comingWords(coming, t_s) : []));
}

function comingWords(coming, t_s) {
  const left = clockTime(Math.ceil(coming.at_s - t_s));
  const at = coming.at_s < 0 ? `−${clockTime(-coming.at_s)}` : clockTime(coming.at_s);
  return [h("span", { class: "next-at" }, at), " ", h("span", null, callWords(coming, 0)), " ",
    h("span", { class: "next-left" }, `in ${left}`)];
}

// A text that is set again would be read out again.
function set(place, text) {
  if (place.textContent !== text) place.textContent = text;
}

function measured({ bottom_ms, started_ms, official_ms, times }) {
  if (!bottom_ms) return null;
  const at_s = (bottom_ms - (started_ms ?? official_ms)) / 1000;
  const expected = times && times.turn_s !== null ? `, expected ${clockTime(times.turn_s)}` : "";
  return h("p", { class: "clock-bottom" }, `Bottom ${clockTime(at_s)}${expected}. Calls stay as they were.`);
}

/** @param {Fields} site */
function overdue({ emergency_phone = "", radio_channel = "", oxygen_where = "" }) {
  const number = dialled(emergency_phone);
  const known = [radio_channel && `Radio ${radio_channel}`, oxygen_where && `Oxygen: ${oxygen_where}`].filter(Boolean);
  return h("div", { class: "clock-overdue", role: "alert" },
    h("p", { class: "overdue-head" }, TEXTS.calls.overdue),
    h("a", { class: "button overdue-link", href: "/boat/emergency#missing" }, "Emergency steps"),
    number && h("a", { class: "button overdue-call", href: number }, `Call ${emergency_phone}`),
    known.length > 0 && h("p", { class: "overdue-site" }, known.join(" · ")),
    h("ol", null, TEXTS.overdue.map((step) => h("li", null, step))),
    h("p", { class: "small" }, TEXTS.defer));
}

function watching(clock, watch_s) {
  const left = h("p", { class: "clock-left" });
  const element = h("div", { class: "clock-watch" },
    h("p", { class: "visually-hidden", role: "status" }, `Surfaced. ${watchWords(TEXTS.airway[1], watch_s)}`),
    left,
    h("ul", { class: "airway" }, TEXTS.airway.map((says) => h("li", null, watchWords(says, watch_s)))),
    h("ul", { class: "recovery" }, TEXTS.recovery.map((says) => h("li", null, says))));
  const more = (ms) => clockTime(watch_s - Math.floor((ms - clock.surfaced_ms) / 1000));
  return { element, tick: (ms) => set(left, `Watch ${more(ms)} more`) };
}

const watchWords = (says, watch) => filled(says, { watch });

function up(clock, watch_s) {
  return h("div", { class: "clock-up" },
    h("p", null, `since surfacing at ${localTime(clock.surfaced_ms)}`),
    h("p", { role: "status" }, `${callWords({ call: "watched", at_s: 0 }, watch_s)}. Keep an eye on the diver.`),
    h("p", { class: "clock-taken" }, "Dive time ", h("strong", null, clockTime(takenOf(clock)))));
}

const buttonsOf = (clock, act) => (what, words, value, says) =>
  h("button", { type: "button", class: "button button-quiet", id: `${what}${value ?? ""}-${clock.id}`,
    "aria-label": says, click: () => act(what, value) }, words);

// What belongs to the moment and is no large button at the bottom.
function touches(clock, phase, isOne, act) {
  const button = buttonsOf(clock, act);
  const isUp = Boolean(clock.surfaced_ms);
  const some = [
    isUp && h("a", { class: "button", href: "/boat/emergency#blackout" }, "Not well? What to do"),
    isUp && button("unsurface", "Not up yet"),
    !isOne && ["down", "overdue"].includes(phase) &&
      button("bottom", clock.bottom_ms ? "Not at the bottom yet" : "At the bottom")].filter(Boolean);
  return some.length > 0 && h("p", { class: "actions" }, some);
}

// What is seldom needed: folded, below what is read.
function correct(clock, phase, act) {
  const isUp = Boolean(clock.surfaced_ms);
  const button = buttonsOf(clock, act);
  return h("details", { id: `correct-${clock.id}`, class: "clock-correct" },
    h("summary", null, "Correct"),
    !isUp && startFixes(phase, button),
    safety(clock, act),
    h("p", { class: "actions" }, isUp && !clock.name && button("done", "Put away without logging"),
      button("remove", "Remove this clock")));
}

function startFixes(phase, button) {
  if (phase === "count") return null;
  return h("p", { class: "actions" },
    button("shift", "−5 s", STARTED_S, "The dive started 5 seconds later"),
    button("shift", "+5 s", -STARTED_S, "The dive started 5 seconds earlier"),
    button("start", "Started just now"));
}

function safety(clock, act) {
  const name = `safety-${clock.id}`;
  return h("div", { class: "field" }, h("label", { for: name }, "Safety diver"),
    h("input", { id: name, name, autocomplete: "off", maxlength: 80, value: clock.safety || null,
      input: ({ target }) => act("safety", target.value) }));
}

/**
 * What decides whether a panel must be built anew.
 * @param {DiveClock} clock @param {number} ms @param {number} watch_s
 */
export function drawnAs(clock, ms, watch_s) {
  const { safety: _, ...rest } = clock;
  return JSON.stringify([phaseOf(clock, ms, watch_s), rest]);
}
