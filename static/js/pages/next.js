// Who is next: read at two metres, touched when a dive begins and ends. What was touched is on this phone first.
import { instant, now } from "../clock.js";
import { chosenCrew, choice, crewAddress } from "../parts/crew_choice.js";
import { beginClock, dropClock, endClock, goOn } from "../parts/crew_clock.js";
import { logForm } from "../parts/crew_log.js";
import { nextView } from "../parts/crew_next.js";
import { crewDay, namesOf, ordering } from "../parts/crew_order.js";
import { ownTurns } from "../parts/crew_own.js";
import { kept } from "../parts/crew_save.js";
import { diveOf } from "../parts/crew_turn.js";
import { CREW, results, turnWords } from "../parts/crew_words.js";
import { readFeeds, saveIn } from "../store/feeds.js";
import { keepAwake } from "../ui/awake.js";
import { byId, caution, h, put, redraw } from "../ui/dom.js";
import { everySecond } from "../ui/every_second.js";
import { startBoat } from "./boat.js";

const TWICE_MS = 1500; // wet fingers touch twice: the second touch in this time does nothing
const RESCUE = "rescue";
const MAY_LOG = "write";

let slate = null, feed = null, person = null, logs = [];
/** @type {CrewDay} */
let crew = null;
let view = null;
let nameOf = (_person) => "";
let touched = -Infinity;
let asked = ""; // for which dive the form of the result stands there

const begin = ordering((order) => {
  view = nextView(crew, order, nameOf);
  redraw(byId("next"), view.elements);
  drawThumb();
});

startBoat(async (fresh) => {
  slate = fresh;
  const found = await readFeeds(slate.user);
  [feed, person, logs] = [chosenCrew(found.crews), found.person, found.logs];
  put(byId("next-choose"), found.crews.length === 1 ? null : choice(found.crews, feed, "next"));
  if (!feed) return;
  crew = crewDay(feed.rows, slate.today);
  nameOf = namesOf(crew, feed.members);
  if (!view) put(byId("next"), h("p", { role: "status" }, "Putting the dives in order …"));
  drawResult();
  redraw(byId("next-more"), more());
  drawThumb();
  begin(crew, true);
  keepAwake(crew.running !== null, () => {});
});

everySecond(() => {
  if (!crew) return;
  begin(crew);
  view?.tick();
});

// ---- the large button

function drawThumb() {
  const thumb = byId("thumb");
  const running = crew.running;
  const next = running ? null : crew.turns.find(({ id }) => id === view?.next?.dive);
  thumb.hidden = !running && !next;
  if (thumb.hidden) return;
  const words = running ? `Back at the surface: ${nameOf(running.person)}` : `In the water: ${nameOf(next.person)}`;
  const act = () => guarded(() => (running ? surfaced(running) : down(next, view.next.safety)));
  redraw(thumb, h("button", { type: "button", class: "button-primary", id: "in-and-out", click: act }, words));
}

function guarded(act) {
  const since = now() - touched;
  if (since >= 0 && since < TWICE_MS) return;
  touched = now();
  act();
}

const write = (kind, record, fields, to = feed.feed) => saveIn({ feed: to, kind, record, fields, user: slate.user });

// The safety divers are kept with the dive: what comes later no longer changes who it was.
async function down(turn, safety) {
  const ms = now();
  const isOwn = turn.person === person;
  const planned = isOwn ? ownTurns(slate, feed.feed, person).find(({ record }) => record === turn.id) : null;
  const plan = planned?.index ?? null;
  const done = await kept(async () => {
    await write("turn", turn.id, { began_at: instant(ms), safety });
    await beginClock(slate, turn, { name: isOwn ? "" : nameOf(turn.person), ms, plan,
      safety: safety.map(nameOf).join(", ") });
  });
  if (done && isOwn) location.assign("/boat/clock");
}

function surfaced(turn) {
  const ms = now();
  return kept(async () => {
    await write("turn", turn.id, { ended_at: instant(ms) });
    await endClock(slate, turn.id, ms);
  });
}

// A touch by mistake is taken back at once: nobody stands as surfaced who is still under water.
function stillDown(turn) {
  return kept(async () => {
    await write("turn", turn.id, { ended_at: null });
    await goOn(slate, turn.id, now());
  });
}

function notBegun(turn) {
  return kept(async () => {
    await write("turn", turn.id, { began_at: null });
    await dropClock(slate, turn.id);
  });
}

// ---- what became of a dive

// First a diver whose return nobody noted, then the newest result, then what is to be logged here.
function drawResult() {
  const [turn, draws] = openPart();
  const state = turn ? `${turn.id} ${draws.name} ${turn.result ? "" : crew.running?.id ?? ""}` : "";
  if (state === asked) return;
  asked = state;
  put(byId("next-result"), turn && draws(turn));
}

/** @returns {[any, (turn: any) => Element]} */
function openPart() {
  const ended = crew.turns.filter(({ state, ended_at }) => state === "ended" && ended_at)
    .sort((one, other) => (one.ended_at < other.ended_at ? 1 : -1));
  const toLogs = ended.filter((turn) => turn.result && !turn.dive && !isLogged(turn));
  const unended = crew.turns.find(({ state }) => state === "unended");
  if (unended) return [unended, askEnd];
  const unsaid = ended.find(({ result }) => !result);
  if (unsaid) return [unsaid, askResult];
  return [toLogs.find((turn) => turn.person === person || mayLog(turn)) ?? toLogs.find(logOf), toLog];
}

// Two phones began a dive each: one dive a line at a time, so one of the two must be over, or is a mistake.
function askEnd(turn) {
  return h("section", { class: "sheet", id: "ask-end", "aria-labelledby": "end-head" },
    h("h2", { id: "end-head" }, turnWords(turn, nameOf)),
    h("p", { class: "flag" }, "Nobody noted that this diver is back. Look for the diver first."),
    h("div", { class: "next-results" },
      h("button", { type: "button", id: "end-now", click: () => guarded(() => surfaced(turn)) }, "Back at the surface"),
      h("button", { type: "button", id: "end-never", click: () => guarded(() => notBegun(turn)) },
        "A mistake: the dive has not begun")));
}

/** @param {any} turn */
const isLogged = ({ id, person: of, ended_at }) => (of === person
  ? slate.dives.some((dive) => dive.id === diveOf(id) || dive.surfaced_at === ended_at)
  : logOf({ person: of })?.rows.some(({ record }) => record === diveOf(id)) ?? false);
const logOf = (turn) => logs.find(({ feed: name }) => name === turn.person);
const mayLog = (turn) => logOf(turn)?.rights.includes(MAY_LOG) ?? false;

function askResult(turn) {
  return h("section", { class: "sheet", id: "ask-result", "aria-labelledby": "result-head" },
    h("h2", { id: "result-head" }, turnWords(turn, nameOf)),
    h("p", null, "Keep watching the diver. Then touch how it was."),
    h("div", { class: "next-results" }, results().map(([code, words]) => h("button", { type: "button",
      id: `result-${code}`, click: () => guarded(() => give(turn, code)) }, words))),
    turn.began_at && !crew.running && h("p", null, h("button", { type: "button", class: "button-quiet",
      id: "still-down", click: () => guarded(() => stillDown(turn)) }, "A mistake: still in the water")));
}

async function give(turn, result) {
  const done = await kept(async () => {
    await write("turn", turn.id, { result });
    if (result === RESCUE) await writeAboard(turn.person, { over: true });
  });
  if (done && result === RESCUE) location.assign("/boat/emergency");
}

function writeAboard(id, fields) {
  const known = crew.aboard.find((one) => one.person === id);
  return known ? write("aboard", known.record, fields) : null;
}

function toLog(turn) {
  if (turn.person === person)
    return h("div", { class: "news" }, h("p", null, `${turnWords(turn, nameOf)} is not in your log yet.`),
      h("a", { class: "button button-primary", id: "log-own",
        href: `/boat/dive?clock=${encodeURIComponent(turn.id)}` }, "Log this dive"));
  if (!mayLog(turn))
    return h("p", { class: "news" }, `${nameOf(turn.person)} logs this dive on their own phone.`);
  const log = logOf(turn);
  return logForm({ sheet: slate.sheet ?? log.snapshot?.sheet }, turn, log, (fields) => guarded(() => kept(async () => {
    const logged_by = slate.user?.name ?? "";
    const dive = await write("dive", diveOf(turn.id), { ...fields, logged_by, confirmed: false }, log.feed);
    await write("turn", turn.id, { dive, reached_m: fields.reached_m });
  })));
}

// ---- what else happens in a day

function more() {
  const here = crew.aboard.filter(({ over }) => !over);
  const button = (id, words, click) => h("button", { type: "button", class: "button-quiet", id, click }, words);
  return [
    h("div", { class: "actions" },
      h("a", { class: "button", id: "to-crew", href: crewAddress("crew", feed.feed) }, "The crew's day"),
      h("a", { class: "button", href: "/boat/clock" }, "Dive clock")),
    crew.running && h("details", { class: "sheet", id: "mistake" },
      h("summary", { id: "mistake-head" }, "Touched by mistake"),
      button("not-begun", `${nameOf(crew.running.person)} is not in the water`, () => notBegun(crew.running))),
    here.length > 0 && h("details", { class: "sheet", id: "somebody" },
      h("summary", { id: "somebody-head" }, "Day over, or late"),
      h("div", { class: "row" }, here.map((one) =>
        button(`over-${one.person}`, `Day is over for ${one.name}`, () => kept(() =>
          writeAboard(one.person, { over: true }))))),
      h("p", null, "Late: touch who is not ready yet."),
      h("div", { class: "row" }, here.map((one) =>
        button(`ready-${one.person}`, one.ready ? `${one.name} is late` : `${one.name} is ready`, () => kept(() =>
          writeAboard(one.person, { ready: !one.ready })))))),
    caution(CREW.care),
  ];
}
