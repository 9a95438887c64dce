// The surface-interval clock: time since surfacing, and each rule's pause by name. It shows times; it never says go.
import { now } from "../clock.js";
import { takenSeconds } from "../plan/lookups.js";
import { inOrder } from "../plan/surfaced.js";
import { caution, h } from "../ui/dom.js";
import { everySecond } from "../ui/every_second.js";
import { diveName, metres, minutes } from "../ui/words.js";
import { pauseRows, surfacedOf } from "./pause_rows.js";

const BACK_S = -60; // the time filled in has no seconds: up to a minute ahead is rounding, more is a wrong clock
const STALE_S = 3 * 3600; // this long after the end of the longest pause its table is hidden

/**
 * The clock as an element that ticks while it is in the page, and the rules behind it: [clock, rules], so that what is
 * the next dive can stand between them; [] when no dive of today has a surfacing time.
 */
export function pauseClock({ dives, sheet, today }) {
  const todays = dives.filter((dive) => dive.date === today);
  const timed = inOrder(todays);
  if (timed.length === 0) return [];
  const { dive, ms } = timed.at(-1);
  const rows = sheet ? rowsOf(sheet, todays) : [];
  const longest = Math.max(...rows.map((row) => row.seconds));
  const since = h("span", { class: "big", id: "since", "data-of-this-moment": true });
  const least = h(
    "span",
    { class: "least", id: "least", hidden: rows.length === 0, "data-of-this-moment": true },
    `at least ${minutes(longest)} by the longest rule`,
  );
  const from = h("p", { class: "soft" }, `since surfacing from ${diveName(dive)} to ${metres(dive.reached_m)}`);
  const rules = table(rows, sheet && takenSeconds(sheet, dive), sheet);
  const panel = h(
    "section",
    { class: "sheet", "aria-labelledby": "pause-head" },
    h("h2", { id: "pause-head" }, "Surface interval"),
    h("p", { class: "since" }, since, " ", least),
    from,
    todays.length > timed.length &&
      h("p", { class: "small" }, "A dive of today without a surfacing time is not counted here."),
  );
  const stop = everySecond(() => {
    if (panel.dataset.shown && !panel.isConnected) return stop();
    const seconds = Math.floor((now() - ms) / 1000);
    if (panel.isConnected) panel.dataset.shown = "yes";
    since.textContent = seconds < BACK_S ? "?" : minutes(seconds);
    if (seconds < BACK_S) from.textContent = "The time surfaced is ahead of this phone's clock. Check both.";
    least.hidden = rows.length === 0 || seconds < BACK_S || seconds > longest + STALE_S;
    rules.hidden = rows.length > 0 && seconds > longest + STALE_S;
    for (const row of rows) row.tick(seconds);
  });
  return [panel, rules];
}

/**
 * Seconds of the pause by the longest rule after the last dive of today that has a surfacing time; null without one.
 */
export function leastPause({ dives, sheet, today }) {
  const rows = sheet ? rowsOf(sheet, dives.filter((dive) => dive.date === today)) : [];
  return rows.length === 0 ? null : Math.max(...rows.map((row) => row.seconds));
}

function table(rows, taken, sheet) {
  return h(
    "section",
    { class: "sheet", id: "pause-rules", "aria-label": "Pauses by rule" },
    rows.length > 0 &&
      h(
        "table",
        { class: "pauses" },
        h("caption", null, "Shortest pause by each rule; the longest counts. A minimum is not permission to dive."),
        h(
          "thead",
          null,
          h(
            "tr",
            null,
            ["Rule", "Pause", "Left"].map((words) => h("th", { scope: "col" }, words)),
          ),
        ),
        h(
          "tbody",
          null,
          rows.map((row) => row.element),
        ),
      ),
    taken &&
      taken.rung_m !== null &&
      h(
        "p",
        { class: "small" },
        `No dive time was logged: ${minutes(taken.seconds)} is used, the expected time for ${metres(taken.rung_m)}.`,
      ),
    caution(sheet?.cautions.interval, null),
  );
}

function rowsOf(sheet, todays) {
  return pauseRows(sheet, surfacedOf(sheet, todays)).map(tableRow);
}

function tableRow({ name, seconds }) {
  const left = h("td", { class: "left", "data-of-this-moment": true });
  return {
    seconds,
    element: h("tr", null, h("th", { scope: "row" }, name), h("td", { class: "number" }, minutes(seconds)), left),
    tick: (since) => {
      left.textContent = since >= seconds ? "minimum interval reached" : minutes(seconds - Math.max(0, since));
    },
  };
}
