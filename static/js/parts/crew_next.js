// Who is next, readable at two metres: who dives now, who is next and after that, who is safety, where the line goes,
// the countdown and everybody's pause. From plain rows: the crew's own page and a buddy's page draw it alike.
import { localDay, now } from "../clock.js";
import { clockOf } from "../crew/why.js";
import { h } from "../ui/dom.js";
import { diveName, metres, minutes } from "../ui/words.js";
import { safetyWords } from "./crew_list.js";
import { crewDay, namesOf, ordering } from "./crew_order.js";
import { halfOf, msOf, turnWords } from "./crew_words.js";

const SECOND_MS = 1000;

/**
 * What a buddy's page got of a crew's day as elements: `list` is {date, title, crew_day, aboard, turns, names}. They
 * fill in as the order is found; `tick()` counts on.
 * @param {any} list
 */
export function crewFromList(list) {
  const element = h("section", { class: "crew-next", "aria-label": `Order of diving: ${list.title ?? "crew"}` });
  const rows = ["aboard", "turns"].flatMap((part) => (list[part] ?? []).map((fields, at) =>
    ({ record: fields.id ?? fields.record ?? `${part}-${at}`, kind: part === "turns" ? "turn" : part,
      fields: { date: list.date, ...fields } })));
  const day = { record: "day", kind: "crew_day", fields: { ...list.crew_day, date: list.date } };
  const crew = crewDay([...rows, day], list.date);
  const names = Object.entries(list.names ?? {}).map(([person, name]) => ({ person, name }));
  let view = null;
  const begin = ordering((order) => {
    view = nextView(crew, order, namesOf(crew, names));
    element.replaceChildren(h("h2", null, list.title ?? "Order of diving"), ...view.elements);
  });
  begin(crew);
  return { element, tick: () => (begin(crew), view?.tick()) };
}

/**
 * The page's parts, and `tick()` for each second.
 * @param {CrewDay} crew @param {CrewOrder} order @param {(person: string) => string} nameOf
 */
export function nextView(crew, order, nameOf) {
  const turns = new Map(crew.turns.map((turn) => [turn.id, turn]));
  const rows = order.rows.filter(({ dive }) => turns.has(dive));
  const coming = rows.filter(({ dive }) => dive !== crew.running?.id);
  const ticks = [];
  const known = { crew, turns, nameOf, ticks };
  const elements = [
    crew.date !== localDay() && h("p", { class: "flag" }, "This list is not today's."),
    runningPart(known, rows.find(({ dive }) => dive === crew.running?.id)),
    coming.length > 0 ? nextPart(known, coming[0]) : h("p", { class: "next-none" }, "Nobody is next in the order."),
    coming.length > 1 && afterPart(known, coming.slice(1)), pausePart(known),
    order.cannot.length > 0 && h("p", { class: "flag" },
      `${order.cannot.length === 1 ? "A dive has" : `${order.cannot.length} dives have`} no place in the order: `,
      [...new Set(order.cannot.map(({ dive }) => nameOf(turns.get(dive)?.person)))].join(", "), "."),
  ].filter(Boolean);
  const tick = () => ticks.forEach((one) => one(now()));
  tick();
  return { elements, tick, next: coming[0] ?? null };
}

function runningPart({ crew, nameOf, ticks }, row) {
  const turn = crew.running;
  if (!turn || !row) return null;
  const time = h("span", { class: "next-time", id: "running-time" });
  const from = turn.began_at ? Date.parse(turn.began_at) : msOf(turn.began, crew.date);
  ticks.push((ms) => (time.textContent = minutes(Math.floor((ms - from) / SECOND_MS))));
  return h("section", { class: "next-part next-running", "aria-label": "In the water" },
    h("h2", null, "In the water"), h("p", { class: "next-who" }, nameOf(turn.person)),
    h("p", { class: "next-dive-words" }, h("strong", null, metres(turn.depth_m)), ` ${diveName(turn)} `, time),
    h("p", { class: "next-safety" }, safetyWords(turn, row, nameOf)),
    turn.dive_s && h("p", { class: "soft" }, `Expected ${minutes(turn.dive_s)}`));
}

function nextPart({ crew, turns, nameOf, ticks }, row) {
  const turn = turns.get(row.dive);
  const left = h("span", { class: "next-time", id: "next-left" });
  const begins = msOf(row.begins, crew.date);
  const says = h("span", null);
  ticks.push((ms) => {
    const seconds = Math.ceil((begins - ms) / SECOND_MS);
    left.textContent = minutes(Math.abs(seconds));
    says.textContent = seconds >= 0 ? `until ${clockOf(row.begins)}` : `past ${clockOf(row.begins)}`;
  });
  return h("section", { class: "next-part", "aria-label": "Next" },
    h("h2", null, "Next"), h("p", { class: "next-who", id: "next-who" }, nameOf(turn.person)),
    h("p", { class: "next-dive-words" }, h("strong", null, metres(turn.depth_m)), ` ${diveName(turn)}`),
    h("p", { class: "next-count" }, left, " ", says),
    h("p", { class: "next-line", id: "next-line" }, lineWords(row)),
    h("p", { class: "next-safety", id: "next-safety" }, safetyWords(turn, row, nameOf)));
}

function lineWords({ line_from_m, line_to_m }) {
  if (line_from_m === null) return `Line: set to ${metres(line_to_m)}`;
  if (line_from_m === line_to_m) return `Line: stays at ${metres(line_to_m)}`;
  return `Line: ${metres(line_from_m)} → ${metres(line_to_m)}`;
}

function afterPart({ turns, nameOf }, rows) {
  return h("section", { class: "next-part", "aria-label": "After that" }, h("h2", null, "After that"),
    h("ol", { class: "next-after" }, rows.map((row) => {
      const turn = turns.get(row.dive);
      return h("li", null, h("span", { class: "number" }, clockOf(row.begins)), " ", turnWords(turn, nameOf),
        h("span", { class: "soft next-small" }, safetyWords(turn, row, nameOf)));
    })));
}

// Everybody's time since their last dive; what they need before the next one stands beside it.
function pausePart({ crew, ticks }) {
  if (crew.aboard.length === 0) return null;
  return h("section", { class: "next-part", "aria-label": "Surface intervals" }, h("h2", null, "Surface intervals"),
    h("p", { class: "soft" }, "Time since the last dive. It is not permission to dive."),
    h("table", { class: "next-pauses" },
      h("thead", null, h("tr", null, ["Who", "Since", "At least"].map((words) => h("th", { scope: "col" }, words)))),
      h("tbody", null, crew.aboard.map((one) => pauseRow(one, crew, ticks)))));
}

function pauseRow({ person, name, over, late_until }, crew, ticks) {
  const own = crew.turns.filter((turn) => turn.person === person);
  const last = own.filter(({ state, ended }) => state !== "coming" && state !== "running" && ended !== null)
    .sort((one, other) => other.ended - one.ended)[0];
  const most = Math.max(0, ...own.filter(({ state }) => state === "coming").map(({ pause_s }) => pause_s ?? 0));
  const since = h("td", { class: "number" });
  const ends = last && (last.ended_at ? halfOf(Date.parse(last.ended_at), crew.date) : last.ended);
  const isDown = crew.running?.person === person;
  ticks.push((ms) => (since.textContent = isDown ? "in the water" : !last ? "–"
    : minutes((ms - msOf(ends, crew.date)) / SECOND_MS)));
  const note = over ? "day over" : late_until ? `from ${late_until}` : "";
  return h("tr", null, h("th", { scope: "row" }, name, note && h("span", { class: "next-small soft" }, note)), since,
    h("td", { class: "number" }, most > 0 ? minutes(most) : "–"));
}
