// The large buttons at the bottom of the dive clock: what comes next for each dive that is timed.
import { h, redraw } from "../ui/dom.js";

/**
 * @param {Element} place @param {DiveClock[]} clocks
 * @param {{ phase: (clock: DiveClock) => string, begin: () => void, act: (id: string, what: string) => void }} how
 */
export function drawThumb(place, clocks, { phase, begin, act }) {
  place.classList.toggle("is-many", clocks.length > 1);
  if (clocks.length === 0) return redraw(place, primary("start", begin, "Dive started"));
  redraw(place, clocks.map((clock) => h("div", { class: "thumb-one" },
    buttons(clock, phase(clock), clocks.length > 1 ? whose(clock) : null, act))));
}

const whose = ({ name, discipline }) => h("span", { class: "thumb-who" }, name || `own ${discipline}`.trim());

function primary(id, click, ...words) {
  return h("button", { type: "button", class: "button-primary", id, click }, words);
}

function buttons(clock, phase, who, act) {
  const { id, name, bottom_ms } = clock;
  const touch = (what) => () => act(id, what);
  if (phase === "count") return [primary(`start-${id}`, touch("start"), "Dive started", who)];
  if (phase === "watch") return [h("p", { class: "thumb-watch" }, "Watch face and breathing", who)];
  if (phase === "up") return [name ? primary(`done-${id}`, touch("done"), "Done", who)
    : h("a", { class: "button button-primary", id: `log-${id}`, href: `/boat/dive?clock=${encodeURIComponent(id)}` },
      "Log this dive", who)];
  return [
    !who && h("button", { type: "button", class: "button-quiet at-bottom", id: `bottom-${id}`,
      "aria-pressed": String(Boolean(bottom_ms)), click: touch("bottom") },
      bottom_ms ? "✓ At the bottom" : "At the bottom"),
    primary(`surface-${id}`, touch("surface"), "Surfaced", who)];
}
