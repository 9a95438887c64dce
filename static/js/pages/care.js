// After an event: what was reported, what to do, what is needed to dive again, and the way back with its dates.
import { dayAfter } from "../clock.js";
import { clearancePart } from "../parts/clearance.js";
import { judgedOn, verdictLine } from "../parts/dive_says.js";
import { judgedDive } from "../plan/lookups.js";
import { byId, caution, h, redraw } from "../ui/dom.js";
import { DAYS, diveName, longDay, metres, sentence, shortDay, signWords } from "../ui/words.js";
import { startBoat } from "./boat.js";

const SHOWN = 8; // dive days of the way back

startBoat((slate) => {
  byId("day").textContent = longDay(slate.today);
  const event = lastEvent(slate);
  redraw(byId("care"), event
    ? [reported(slate, event), needed(slate), clearancePart(slate, false), wayBack(slate, event)]
    : h("p", null, `No event of the last ${recentDays(slate)} days is in the log.`));
});

// How far back an event still counts, by the rulebook.
/** @param {Slate} slate */
function recentDays({ sheet }) {
  return sheet?.numbers.limit_days ?? 0;
}

/** The last day with a dive that ended it, as {date, dives}; null without one. @param {Slate} slate */
function lastEvent(slate) {
  const since = slate.plan?.stand_down?.since ?? dayAfter(slate.today, -recentDays(slate));
  const days = [...new Set(slate.dives.map((dive) => dive.date))].filter((day) => since <= day && day <= slate.today);
  for (const date of days.sort().reverse()) {
    const dives = judgedOn(slate, date).filter((dive) => dive.care.length > 0);
    if (dives.length > 0) return { date, dives };
  }
  return null;
}

/** @param {Slate} slate @param {{ date: string, dives: DoneDive[] }} event */
function reported(slate, { date, dives }) {
  const care = [...new Set([...(slate.plan?.stand_down?.care ?? []), ...dives.flatMap((dive) => dive.care)])];
  return h("section", { "aria-labelledby": "reported-head" },
    caution(care, "What to do"),
    h("p", { class: "actions" }, h("a", { class: "button", href: "/boat/emergency" }, "Emergency steps and numbers")),
    h("h2", { id: "reported-head" }, `Reported on ${longDay(date)}`),
    dives.map((dive) => h("div", { class: "sheet" },
      h("p", null, h("strong", null, `${diveName(dive)}, ${metres(dive.reached_m)}`)),
      h("p", null, signsOf(slate, dive)),
      verdictLine(judgedDive(slate.plan, dive.id) ?? dive, slate))));
}

function signsOf(slate, { id }) {
  const dive = slate.dives.find((one) => one.id === id);
  return [signWords(dive?.signs, slate.sheet), dive?.note].filter(Boolean).join(". ");
}

// What must be so before the next dive: no page makes it shorter.
/** @param {Slate} slate */
function needed({ plan }) {
  const stop = plan?.stand_down;
  if (!stop) return null;
  return h("section", { class: "sheet", "aria-labelledby": "needed-head" },
    h("h2", { id: "needed-head" }, "Needed to dive again"),
    h("ol", null,
      h("li", null, `The days without diving: not before ${longDay(stop.until)}. Nothing makes them shorter.`),
      h("li", null, "A doctor who knows diving has examined you and said that you may dive again: ",
        h("strong", null, stop.needs_clearance ? "not recorded" : "recorded"), "."),
      h("li", null, "Your instructor or coach knows what happened, and how you come back.")));
}

// The dives that lead back, by the plan: each is only as far as the one before it was clean.
/** @param {Slate} slate @param {{ date: string }} event */
function wayBack({ plan, today }, { date }) {
  if (!plan || plan.stand_down?.needs_clearance) {
    return plan && h("p", null, "The way back is planned once the clearance is recorded.");
  }
  const isComing = (day) => day.date >= today && day.date > date && day.dives.length > 0;
  const coming = plan.days.filter(isComing).slice(0, SHOWN);
  return coming.length > 0 && h("section", { class: "sheet", "aria-labelledby": "back-head" },
    h("h2", { id: "back-head" }, "The way back, if each dive is clean"),
    h("ol", { class: "days" }, coming.map((day) => {
      const deep = day.dives.find((dive) => dive.role === "deep" && dive.done === null);
      return h("li", null, h("p", null, h("strong", null, shortDay(day.date)), " ",
        deep ? `${diveName(deep)}, ${metres(deep.target_m)}` : DAYS[day.kind]),
      h("p", { class: "soft small" }, sentence(deep?.why ?? day.why)));
    })));
}
