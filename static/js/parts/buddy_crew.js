// The dives of a crew's day as plain facts, in no order: what a buddy's page shows until the order is found.
import { h } from "../ui/dom.js";
import { diveName, metres } from "../ui/words.js";

/** @param {BuddyTurn} turn */
function state(turn) {
  if (turn.ended_at) return "done";
  return turn.began_at ? "in the water" : "";
}

/** @param {BuddyCrew} crew */
export function crewFacts(crew) {
  const names = new Map(crew.aboard.map(({ person, name }) => [person, name]));
  return h("section", { class: "sheet buddy-crew" },
    h("h2", null, crew.title),
    h("p", null, `Aboard: ${[...names.values()].join(", ")}.`),
    crew.turns.length > 0 && h("ul", { class: "buddy-dives" }, crew.turns.map((turn) => h("li", null,
      h("span", { class: "target" }, metres(turn.depth_m)),
      h("span", null, names.get(turn.person) ?? "?", h("br"), h("span", { class: "soft" }, diveName(turn))),
      h("b", null, state(turn))))));
}
