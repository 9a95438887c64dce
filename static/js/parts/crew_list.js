// The order of the day: each dive with its time, line, safety and why; what has no place; what is over. With buttons to
// pin and move a dive and to name its safety.
import { meetDm, metres as fromDm, numbersOf, tenths } from "../crew/rules.js";
import { clockOf, said } from "../crew/why.js";
import { h } from "../ui/dom.js";
import { diveName, metres } from "../ui/words.js";
import { CREW, results } from "./crew_words.js";

/**
 * @param {CrewDay} crew @param {CrewOrder | null} order @param {(person: string) => string} nameOf
 * @param {any} acts move(turn, place), pin(turn, place), safety(turn, ids), edit(turn), remove(turn)
 */
export function crewList(crew, order, nameOf, acts) {
  if (order === null) return h("p", { role: "status" }, "Putting the dives in order …");
  const turns = new Map(crew.turns.map((turn) => [turn.id, turn]));
  const people = crew.aboard.map(({ person, name }) => ({ id: person, name }));
  const known = { crew, nameOf, acts, people, order };
  const rows = order.rows.filter(({ dive }) => turns.has(dive));
  const first = crew.running ? 1 : 0;
  return [
    rows.length === 0 && h("p", null, "No dive is in the order yet."),
    h("ol", { class: "crew-rows" }, rows.map((row, at) =>
      entry({ ...known, turn: turns.get(row.dive), row, place: at + 1 - first, last: rows.length - first }))),
    cannotList(known, turns), overList(known),
  ];
}

function entry(one) {
  const { row, turn, nameOf, crew, people } = one;
  const isRunning = turn.id === crew.running?.id;
  return h("li", { class: "sheet crew-row", "data-turn": turn.id },
    h("p", { class: "crew-head" }, h("span", { class: "number crew-at" }, clockOf(row.begins)), " ",
      h("strong", null, nameOf(turn.person)), " ", isRunning && h("span", { class: "word" }, "in the water"), " ",
      turn.pinned && !isRunning && h("span", { class: "word" }, "pinned")),
    h("p", null, h("strong", { class: "crew-depth" }, metres(turn.depth_m)), " ", diveName(turn),
      h("span", { class: "soft" }, `, back about ${clockOf(row.ends)}`)),
    h("p", null, safetyWords(turn, row, nameOf)),
    h("details", { id: `more-${turn.id}` },
      h("summary", { id: `more-head-${turn.id}` }, isRunning ? "Why here" : "Why here, and change it"),
      h("ul", null, row.reasons.map((reason) => h("li", null, said(reason, CREW.why, people)))),
      (turn.pause_s ?? null) === null && h("p", { class: "small" },
        "No surface interval is given before this dive: the list keeps none."),
      !turn.dive_s && h("p", { class: "small" }, "No dive time is given: the longest of the list is used."),
      !isRunning && changes(one)));
}

/** `Safety: Bo and Cleo, meet at 15 m`. */
export function safetyWords(turn, row, nameOf) {
  const meet = metres(fromDm(meetDm(numbersOf(CREW.limits), tenths(turn.depth_m))));
  const names = row.safety.map(nameOf).join(" and ");
  return names ? `Safety: ${names}, ${row.safety.length > 1 ? "meet" : "meets"} at ${meet.replace(" ", "\u00a0")}`
    : "No safety diver is named.";
}

function changes({ turn, place, last, crew, nameOf, acts }) {
  const about = h("span", { class: "visually-hidden" }, ` ${nameOf(turn.person)}, ${diveName(turn)}`);
  const button = (id, words, click, disabled = false) => h("button", { type: "button", class: "button-quiet",
    id: `${id}-${turn.id}`, disabled, click }, words, about.cloneNode(true));
  return [
    h("div", { class: "row" },
      button("up", "Move up", () => acts.move(turn, place - 1), place <= 1),
      button("down", "Move down", () => acts.move(turn, place + 1), place >= last),
      turn.pinned ? button("unpin", "Unpin", () => acts.pin(turn, null))
        : button("pin", "Pin here", () => acts.pin(turn, place)),
      button("edit", "Edit", () => acts.edit(turn)), button("remove", "Remove", () => acts.remove(turn))),
    nameSafety(turn, crew, acts),
  ];
}

function nameSafety(turn, crew, acts) {
  const named = turn.safety ?? [];
  const changed = (event) => {
    const { value, checked } = event.target;
    acts.safety(turn, checked ? [...named, value] : named.filter((person) => person !== value));
  };
  const others = crew.aboard.filter(({ person }) => person !== turn.person);
  if (others.length === 0) return null;
  return h("fieldset", { class: "toggles", change: changed }, h("legend", null, "Name the safety"),
    h("p", { class: "hint" }, "Nobody touched: the list chooses."),
    h("div", { class: "toggle-row" }, others.map(({ person, name }) => h("label", { class: "toggle" },
      h("input", { type: "checkbox", value: person, checked: named.includes(person),
        id: `safety-${turn.id}-${person}` }), h("span", null, name)))));
}

function cannotList({ order, nameOf, people, acts }, turns) {
  const some = order.cannot.filter(({ dive }) => turns.has(dive));
  if (some.length === 0) return null;
  const why = ({ rule, who, values }) => said({ code: rule, values: { ...values, who } }, CREW.cannot, people);
  const missing = ({ rule, who }) => ["safety", "two_safeties"].includes(rule) && who.length > 0 &&
    h("p", null, said({ code: "missing", values: { who } }, CREW.cannot, people));
  return h("section", { class: "sheet", id: "crew-cannot", "aria-labelledby": "cannot-head" },
    h("h2", { id: "cannot-head" }, "Without a place in the order"),
    h("ul", { class: "crew-plain" }, some.map((one) => {
      const turn = turns.get(one.dive);
      return h("li", { "data-turn": turn.id },
        h("p", null, h("strong", null, `${nameOf(turn.person)}, ${metres(turn.depth_m)}`), `, ${diveName(turn)}`),
        h("p", { class: "flag" }, why(one)), missing(one),
        h("div", { class: "row" },
          h("button", { type: "button", class: "button-quiet", id: `edit-${turn.id}`, click: () => acts.edit(turn) },
            "Edit", h("span", { class: "visually-hidden" }, ` the dive of ${nameOf(turn.person)}`)),
          h("button", { type: "button", class: "button-quiet", id: `remove-${turn.id}`,
            click: () => acts.remove(turn) },
            "Remove", h("span", { class: "visually-hidden" }, ` the dive of ${nameOf(turn.person)}`))));
    })));
}

function overList({ crew, nameOf, acts }) {
  const over = crew.turns.filter(({ state }) => state === "ended" || state === "unended")
    .sort((one, other) => (other.ended ?? 0) - (one.ended ?? 0));
  if (over.length === 0) return null;
  const words = Object.fromEntries(results());
  const how = ({ state, result }) => (state === "unended" ? "its end was not noted" : words[result] ?? "no result yet");
  return h("details", { id: "crew-over", class: "sheet" }, h("summary", { id: "crew-over-head" },
    `Dives that are over (${over.length})`),
    h("ul", { class: "crew-plain" }, over.map((turn) => h("li", null,
      `${turn.ended === null ? "" : `${clockOf(turn.ended)} `}${nameOf(turn.person)}, ${diveName(turn)}, `
        + `${metres(turn.reached_m ?? turn.depth_m)}: ${how(turn)} `,
      turn.result && !turn.dive && h("button", { type: "button", class: "button-quiet", id: `again-${turn.id}`,
        click: () => acts.again(turn) }, "Not this result",
        h("span", { class: "visually-hidden" }, ` ${nameOf(turn.person)}`))))));
}
