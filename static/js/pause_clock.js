// The surface-interval clock: time since surfacing, and each rule's pause by name. It only tells time; it never says go.
import { everySecond, lastSurfaced, now } from "./clock.js";
import { caution, h } from "./dom.js";
import { intervals } from "./slate.js";
import { diveName, metres, minutes, pause } from "./words.js";

const BACK_S = -60; // the prefilled time has no seconds: up to a minute ahead is rounding, more is a wrong clock

/** The clock as an element that ticks for as long as it stands in the page; null when no dive of today has a time. */
export function pauseClock({ dives, sheet, today }) {
  const last = lastSurfaced(dives, today);
  if (!last) return null;
  const { dive, ms } = last;
  const rows = sheet ? intervals(sheet, dive.reached_m, dive.dive_s ?? 0).map(row) : [];
  const since = h("p", { class: "big", id: "since" });
  const heard = h("p", { class: "soft" }, `since surfacing from ${diveName(dive)} to ${metres(dive.reached_m)}`);
  const panel = h("section", { class: "sheet", "aria-labelledby": "pause-head" },
    h("h2", { id: "pause-head" }, "Surface interval"), since, heard,
    rows.length > 0 && h("table", { class: "pauses" },
      h("caption", null, "Shortest pause by each rule; the longest counts"),
      h("thead", null, h("tr", null, h("th", { scope: "col" }, "Rule"), h("th", { scope: "col" }, "Pause"), h("th", { scope: "col" }, "Left"))),
      h("tbody", null, rows.map((one) => one.element))),
    dive.dive_s === null && h("p", { class: "small" }, "No dive time was logged: the rules that use it cannot be worked out."),
    caution(sheet?.cautions.interval, null));
  const stop = everySecond(() => {
    if (panel.dataset.shown && !panel.isConnected) return stop();
    const seconds = Math.floor((now() - ms) / 1000);
    if (panel.isConnected) panel.dataset.shown = "yes";
    since.textContent = seconds < BACK_S ? "?" : minutes(seconds);
    if (seconds < BACK_S) heard.textContent = "The time of surfacing lies ahead of this phone's clock: check both.";
    for (const one of rows) one.tick(seconds);
  });
  return panel;
}

function row({ name, seconds }) {
  const left = h("td", { class: "number" });
  return {
    element: h("tr", null, h("th", { scope: "row" }, name), h("td", { class: "number" }, pause(seconds)), left),
    tick: (since) => {
      left.textContent = since >= seconds ? "passed" : minutes(seconds - Math.max(0, since));
    },
  };
}
