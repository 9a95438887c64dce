// The crew's day: who is aboard, their dives in order, and what is set for the day. Everything is saved on this phone
// first and reaches the others' phones later.
import { chosenCrew, choice, crewAddress } from "../parts/crew_choice.js";
import { dayForm, turnForm } from "../parts/crew_forms.js";
import { crewList } from "../parts/crew_list.js";
import { crewDay, namesOf, ordering } from "../parts/crew_order.js";
import { ownTurns } from "../parts/crew_own.js";
import { crewPeople } from "../parts/crew_people.js";
import { kept } from "../parts/crew_save.js";
import { crewPlans } from "../parts/crew_sites.js";
import { CREW } from "../parts/crew_words.js";
import { namedId } from "../plan/named_id.js";
import { readFeeds, removeIn, saveIn } from "../store/feeds.js";
import { newId } from "../store/ids.js";
import { byId, caution, h, put, redraw } from "../ui/dom.js";
import { everySecond } from "../ui/every_second.js";
import { startBoat } from "./boat.js";

const AGAIN_MS = 30_000;
const NO_TURN = { fixed_at: null, pinned: null, safety: null, began_at: null, ended_at: null, result: null,
  reached_m: null, dive: null };

let slate = null, feed = null, person = null;
/** @type {CrewDay} */
let crew = null;
let order = null, better = null; // the order that is shown, and a newer one that waits for the touch to end

const begin = ordering((found, isFirst) => {
  if (isFirst || !isTouched()) return showOrder(found);
  better = found;
  drawOrder();
});

startBoat(async (fresh) => {
  slate = fresh;
  const { crews, person: own } = await readFeeds(slate.user);
  feed = chosenCrew(crews);
  person = own;
  put(byId("crew-choose"), choice(crews, feed, "crew"));
  byId("thumb").hidden = !feed;
  if (!feed) return;
  byId("to-next").setAttribute("href", crewAddress("next", feed.feed));
  crew = crewDay(feed.rows, slate.today);
  put(byId("crew-care"), caution(CREW.care));
  drawOrder();
  redraw(byId("crew-people"), crewPeople(crew, feed.members ?? [], { aboard, board, leave, guest }));
  redraw(byId("crew-plans"), crewPlans(slate, feed, { give, take }));
  begin(crew);
});

everySecond(() => crew && begin(crew), AGAIN_MS);

const isTouched = () => Boolean(byId("crew-order").querySelector("details[open]"))
  || byId("crew-order").contains(document.activeElement);

function showOrder(found) {
  [order, better] = [found, null];
  drawOrder();
}

function drawOrder() {
  const nameOf = namesOf(crew, feed.members);
  redraw(byId("crew-order"), h("section", { "aria-labelledby": "order-head" },
    h("h2", { id: "order-head" }, "Order"), dayLine(nameOf),
    better && h("p", null, h("button", { type: "button", id: "better", click: () => showOrder(better) },
      "Show the new order")),
    crewList(crew, order, nameOf, { move, pin, safety, edit, remove, again })), adding());
}

function dayLine(nameOf) {
  const { starts_at, line_most_m, line_keeper, boat, clock, site, note } = crew.day;
  const of = (words, id) => id && `${words} ${nameOf(id)}`;
  const parts = [site, starts_at && `start ${starts_at}`, line_most_m && `line to ${line_most_m} m at most`,
    of("line keeper", line_keeper), of("boat", boat), of("clock", clock), note];
  return h("p", { class: "soft", id: "crew-day-says" }, parts.filter(Boolean).join(" · "));
}

function adding() {
  const known = new Set(crew.turns.map(({ id }) => id));
  const own = person ? ownTurns(slate, feed.feed, person).filter(({ record }) => !known.has(record)) : [];
  const button = (id, words, click) => h("button", { type: "button", id, click }, words);
  return h("div", { class: "row crew-adding" },
    own.length > 0 && button("add-own", `Add my ${own.length === 1 ? "dive" : `${own.length} dives`} of today`,
      () => addOwn(own)),
    button("add-turn", "Add a dive", () => edit({ person })),
    button("change-day", "Start, line, roles", changeDay),
    h("a", { class: "button button-quiet", href: "/boat/hand" }, "Hand over the day"));
}

// ---- what a touch does

const write = (kind, record, fields) => saveIn({ feed: feed.feed, kind, record, fields, user: slate.user });
const idOf = (id) => namedId("aboard", feed.feed, slate.today, id);

function aboard(id, fields) {
  return kept(() => write("aboard", crew.aboard.find((one) => one.person === id)?.record ?? idOf(id), fields));
}

// As deep as somebody met divers on an earlier day of this crew, until it is changed.
function board({ person: id, name, guest: isGuest, may_meet_m = null }) {
  const earlier = feed.rows.filter(({ kind, fields }) => kind === "aboard" && fields.person === id)
    .sort((one, other) => (one.fields.date < other.fields.date ? -1 : 1)).at(-1);
  return aboard(id, { date: slate.today, person: id, name, guest: isGuest, ready: false,
    may_meet_m: earlier?.fields.may_meet_m ?? may_meet_m, late_until: null, over: false });
}

function leave(id) {
  const { record } = crew.aboard.find((one) => one.person === id);
  return kept(() => removeIn({ feed: feed.feed, record, user: slate.user }));
}

// The same name is the same guest, and a guest of an earlier day is aboard again.
async function guest(name) {
  const id = namedId("guest", feed.feed, name.toLowerCase());
  const known = crew.guests.find(({ record }) => record === id);
  if (!known && !(await kept(() => write("guest", id, { name, may_meet_m: null, note: "" })))) return;
  if (!crew.aboard.some((one) => one.person === id))
    await board({ person: id, name: known?.fields.name ?? name, guest: true, may_meet_m: known?.fields.may_meet_m });
}

function addOwn(own) {
  return kept(async () => {
    if (!crew.aboard.some((one) => one.person === person))
      await board({ person, name: slate.user?.name ?? "", guest: false });
    for (const { record, fields } of own) await write("turn", record, fields);
  });
}

const give = (record, fields) => kept(() => write("crew_site", record, fields));
const take = (record) => kept(() => removeIn({ feed: feed.feed, record, user: slate.user }));

const change = (turn, fields) => kept(() => write("turn", turn.id, fields));

function pin(turn, place) {
  return change(turn, { pinned: place });
}

// The dive goes to its new place; one that was pinned there goes to the place that becomes free.
async function move(turn, place) {
  const open = crew.turns.filter(({ state }) => state === "coming");
  const there = open.find((one) => one.id !== turn.id && one.pinned === place);
  const from = order.rows.filter(({ dive }) => dive !== crew.running?.id).findIndex(({ dive }) => dive === turn.id) + 1;
  if (there) await change(there, { pinned: from });
  await pin(turn, place);
}

function safety(turn, ids) {
  return change(turn, { safety: ids.length > 0 ? ids : null });
}

// The page of who is next asks for it again.
function again(turn) {
  return change(turn, { result: null });
}

function remove(turn) {
  return kept(() => removeIn({ feed: feed.feed, record: turn.id, user: slate.user }));
}

const close = () => put(byId("crew-edit"));

function open(form) {
  put(byId("crew-edit"), form);
  byId("crew-form-head").focus();
  byId("crew-form-head").scrollIntoView();
}

function edit(turn) {
  const people = crew.aboard.map(({ person: id, name }) => ({ person: id, name }));
  open(turnForm(turn, people, async (fields) => {
    const whole = turn.id ? fields : { ...NO_TURN, date: slate.today, ...fields };
    if (await kept(() => write("turn", turn.id ?? newId(), whole))) close();
  }, close));
}

function changeDay() {
  const people = crew.aboard.map(({ person: id, name }) => ({ person: id, name }));
  open(dayForm(crew.day, people, async (fields) => {
    const record = namedId("crew_day", feed.feed, slate.today);
    if (await kept(() => write("crew_day", record, { date: slate.today, ...fields }))) close();
  }, close));
}
