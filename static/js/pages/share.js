// The buddy's page: asks for the list, keeps it for the boat, and shows the kept one when there is no signal.
import { localDay } from "../clock.js";
import { crewFacts } from "../parts/buddy_crew.js";
import { buddyPause } from "../parts/buddy_pause.js";
import { calls, facts, place } from "../parts/site_plan.js";
import { forget, keep, kept } from "../store/lists.js";
import { caution, h, put, redraw } from "../ui/dom.js";
import { everySecond } from "../ui/every_second.js";
import { diveName, longDay, metres, minutes } from "../ui/words.js";

const path = location.pathname.replace(/\/$/, "");
/** @type {NodeListOf<HTMLElement>} */
const marked = document.querySelectorAll("[data-share]");
const places = Object.fromEntries([...marked].map((place) => [place.dataset.share, place]));

let shown = null; // the list that is drawn
let drawnDay = null; // and this phone's day at that moment
let pause = null; // that of the list, which counts
let crews = []; // the orders of diving of the list's crews, which count on

const moment = (text) => new Date(text).toLocaleString("en-GB", { dateStyle: "medium", timeStyle: "short" });

const begin = (text) => text.charAt(0).toUpperCase() + text.slice(1);

function say(text) {
  places.kept.hidden = !text;
  places.kept.textContent = text;
}

/** @param {BuddyDive["safety"]} one */
function safety(one) {
  if (!one) return null; // a list kept by an older version has none
  const meets = `meets at ${metres(one.meet_m)} at ${minutes(one.meet_s)}`;
  return h("span", { class: "buddy-safety soft" },
    `Line ${metres(one.line_m)}. Safety leaves at ${minutes(one.leave_s)}, ${meets}. `
      + `Overdue after ${minutes(one.overdue_s)}.`);
}

/** @param {BuddyDive} one */
function dive(one) {
  return h("li", null,
    h("span", { class: "target" }, one.target_m === null ? "–" : metres(one.target_m)),
    h("span", null, diveName(one),
      one.expected_s && [h("br"), h("span", { class: "number soft" }, `about ${minutes(one.expected_s)}`)]),
    one.done && h("b", null, "done"),
    one.says && h("span", { class: "buddy-says" }, one.says),
    safety(one.safety));
}

/** @param {BuddyDay} one */
function day(one, over, running = null) {
  return h("section", { class: `buddy-day ${one.dives.length || one.over ? "sheet" : "buddy-none"}` },
    h("h2", null, running && "Today, ", h("time", { datetime: one.date }, longDay(one.date))),
    one.over && h("p", { class: "buddy-over" }, over),
    running?.element,
    one.dives.length > 0 && h("ul", { class: "buddy-dives" }, one.dives.map(dive)),
    one.dives.length === 0 && !one.over && h("p", null, `${begin(one.why)}.`));
}

/** Today on top: its dives and the pause that runs. @param {BuddyList} list */
function today(list, date) {
  const found = list.days.find((one) => one.date === date);
  pause = found && list.today === date ? buddyPause(list.pause) : null;
  pause?.tick();
  return found && day(found, "No more dives today", pause ?? {});
}

/** Days before `from` are folded: a dive of yesterday must not stand where one looks for today's. */
function days(list, from) {
  const past = list.days.filter((one) => one.date < from);
  const coming = list.days.filter((one) => one.date > from);
  const hasToday = list.days.some((one) => one.date === from);
  return [
    coming.map((one) => day(one, "No more dives on this day")),
    coming.length === 0 && !hasToday && h("p", null, "No dives are planned from today on."),
    past.length > 0 &&
      h(
        "details",
        { class: "level", id: "past-days" },
        h("summary", { id: "past-days-head" }, `Past days (${past.length})`),
        h(
          "div",
          null,
          past.map((one) => day(one, "No more dives on this day")),
        ),
      ),
  ];
}

/** What to do when something goes wrong; a list that was kept by an older version has no plan. */
function plan(site) {
  if (!site) return null;
  return h("details", { class: "level", id: "site-plan" },
    h("summary", { id: "site-plan-head" }, "If something goes wrong"),
    h("div", null,
      h("p", null, `${site.name}. Trained people, the local emergency number and local rules come first.`),
      calls(site), place("Position", site), facts(site)));
}

// What the server has just given begins with the diver's own day; what was kept begins with this phone's.
/** @param {BuddyList} list */
function show(list, from = list.today ?? list.days[0]?.date ?? "") {
  const heard = list.last_sync ? `; last sync of the diver's phone: ${moment(list.last_sync)}` : "";
  put(places.head, `Dives of ${list.diver}`);
  const bottom = list.bottom_m && `bottom at ${metres(list.bottom_m)}`;
  put(places.about, [list.season, list.site, bottom].filter(Boolean).join(" · "));
  put(places.today, today(list, from));
  put(places["as-of"], `As of ${moment(list.as_of)}${heard}.`);
  put(places.cautions, caution(list.cautions));
  const ofDay = (list.crew ?? []).filter((one) => one.date === from); // yesterday's is nobody's order
  put(places.crew, ofDay.map(crewFacts));
  redraw(places.plan, plan(list.plan));
  redraw(places.days, days(list, from));
  shown = list;
  drawnDay = localDay();
  showCrews(list);
}

// The order of diving is a large part, and not every link has it: where it cannot be loaded the plain facts stay.
async function showCrews(list) {
  const todays = (list.crew ?? []).filter(({ date }) => date === localDay());
  crews = [];
  // a page that the phone has kept comes without the order's numbers: the facts stand there
  if (todays.length === 0 || !places.crew || !document.querySelector("meta[name=crew]")) return;
  try {
    const { crewFromList } = await import("../parts/crew_next.js");
    if (list !== shown) return;
    crews = todays.map(crewFromList);
    put(places.crew, crews.map(({ element }) => element));
  } catch (error) {
    console.error(error);
  }
}

async function showKept() {
  const list = await kept(path);
  if (!list) return;
  show(list, localDay());
  say(`No signal: this is the list as it was ${moment(list.as_of)}. It may have changed since.`);
}

async function gone() {
  await forget(path);
  shown = null;
  for (const place of Object.values(places)) place.replaceChildren();
  put(places.head, "This link is not valid any more");
  say("The diver took it back, or it was never given. Ask them for a new one.");
}

async function refresh() {
  try {
    const answer = await fetch(`${path}/list.json`, { cache: "no-store" });
    const said = await answer.json();
    // only the app's own words count: a Wi-Fi's sign-in page may answer anything
    if (answer.status === 404 && said.error?.code === "not_found") return await gone();
    if (!answer.ok || said.app !== "lineslate") return await showKept();
    await keep(path, said);
    show(said);
    say("");
  } catch {
    await showKept();
  }
}

function keepPages() {
  navigator.serviceWorker?.register("/service_worker/service-worker.js", {
    type: "module", scope: "/", updateViaCache: "none",
  }).catch(() => {}); // without it the page still works with signal
}

/** @type {NodeListOf<HTMLTimeElement>} */
const moments = document.querySelectorAll("time[data-local]");
for (const time of moments) time.textContent = moment(time.dateTime);
document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && refresh());
addEventListener("online", refresh);
refresh();
// A page left open overnight turns to the new day at once; the answer may take long, or never come.
everySecond(() => {
  pause?.tick();
  for (const crew of crews) crew.tick();
  if (!shown || drawnDay === localDay()) return;
  show(shown, localDay());
  refresh();
});
keepPages();
