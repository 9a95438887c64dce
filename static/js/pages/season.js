// The season: each discipline's ladder on the descent line, the goals in words, every day as a list.
import { descentLine } from "../drawings/descent_line.js";
import { clearancePart } from "../parts/clearance.js";
import { doneName, endOf } from "../parts/dive_says.js";
import { cardOf } from "../plan/lookups.js";
import { byId, caution, h, redraw } from "../ui/dom.js";
import { mark } from "../ui/verdict_mark.js";
import { DISCIPLINES, DAYS, VERDICTS, diveName, metres, sentence, shortDay, standsOut } from "../ui/words.js";
import { startBoat } from "./boat.js";

const LEGEND = [
  ["planned", "planned"],
  ["clean", "clean"],
  ["hard", "hard"],
  ["turned", "turned early"],
  ["over", "ended the day"],
];

const NO_SEASON = "This phone has no season yet. It comes with the first sync after you sign in.";
const PADDING = 20; // of the sheet that the drawing lies on, in pixels
const AHEAD = 0.4; // where the dives move sideways: the share of the width that shows what comes after the newest one

let last = null; // what was drawn, and how wide

startBoat((slate) => {
  const { plan, season, sheet } = slate;
  byId("season-name").textContent = [season?.name, sheet?.site.name].filter(Boolean).join(" · ");
  if (!plan) {
    redraw(byId("season"), h("div", { class: "news" }, h("p", null, slate.trouble ?? NO_SEASON)));
    return;
  }
  const before = views();
  last = { slate, wide: width() };
  redraw(byId("season"),
    clearancePart(slate),
    leading(plan).map((name) => ladder(slate, name)),
    caution(sheet.cautions.season, null),
    days(slate),
    h("p", { class: "actions" },
      h("a", { class: "button button-quiet", id: "to-outlook", href: "/boat/outlook" }, "Outlook"),
      h("a", { class: "button button-quiet", id: "to-site", href: "/boat/site" }, "Site and emergency plan")));
  showNewest(before);
});

// A phone that is turned has another width.
addEventListener("resize", () => {
  if (!last || last.wide === width()) return;
  last.wide = width();
  for (const name of Object.keys(last.slate.plan.disciplines))
    redraw(byId(`drawing-${name}`), drawing(last.slate, name));
  showNewest(new Map());
});

function width() {
  return byId("season").clientWidth - 2 * PADDING;
}

function drawing({ plan, today }, name) {
  return descentLine(plan, name, today, width());
}

/** @returns {HTMLElement[]} */
function panes() {
  return Array.from(document.querySelectorAll(".pane"));
}

function views() {
  return new Map(panes().map((pane) => [pane.id, { newest: Number(pane.dataset.newest), left: pane.scrollLeft }]));
}

// Whoever has moved the dives sideways keeps that view until there is a newer dive.
function showNewest(before) {
  for (const pane of panes()) {
    const newest = Number(pane.dataset.newest);
    const view = before.get(pane.id);
    pane.scrollLeft = view?.newest === newest ? view.left : newest - (1 - AHEAD) * pane.clientWidth;
  }
}

// The discipline of the next deep dive comes first.
/** @param {Plan} plan */
function leading(plan) {
  const names = Object.keys(plan.disciplines);
  return [...names.filter((name) => name === plan.next?.discipline),
    ...names.filter((name) => name !== plan.next?.discipline)];
}

/** @param {Slate} slate @param {string} name */
function ladder(slate, name) {
  const { plan, today } = slate;
  const { goals } = plan.disciplines[name];
  const waits = plan.stand_down?.needs_clearance; // what the plan reaches is then no news: nothing is planned
  return h(
    "section",
    { class: "sheet", "aria-labelledby": `ladder-${name}` },
    h("h2", { id: `ladder-${name}` }, `${name}, ${DISCIPLINES[name] ?? ""}`),
    h(
      "p",
      null,
      waits
        ? "No dive is planned until a doctor's clearance is recorded. Then the plan is calculated again."
        : standing(plan.disciplines[name], today > plan.days.at(-1).date),
    ),
    h("div", { class: "drawing", id: `drawing-${name}` }, drawing(slate, name)),
    h(
      "ul",
      { class: "legend", "aria-label": "Shapes" },
      LEGEND.map(([shape, words]) => h("li", null, mark(shape), words)),
    ),
    plan.disciplines[name].ends_says && h("p", null, plan.disciplines[name].ends_says),
    !waits &&
      h(
        "ul",
        null,
        Object.values(goals).map((goal) => h("li", null, sentence(goal.says))),
      ),
    h(
      "p",
      { class: "actions" },
      h("a", { class: "button button-quiet", href: `/boat/card?discipline=${name}` }, `Dive cards of ${name}`),
    ),
  );
}

// What was reached is past, what the plan reaches begins today; after the last day only the past is left.
/** @param {Summary} summary @param {boolean} isOver */
function standing({ rung_m, clean_on_rung, reached_m, reaches_m }, isOver) {
  if (isOver) return reached_m === null ? "No clean dive was logged." : `Reached ${metres(reached_m)}.`;
  const clean = clean_on_rung ? `${clean_on_rung} clean in a row there` : "no clean dive there yet";
  return [`Now at ${metres(rung_m)}, ${clean}.`, reached_m !== null && `Reached ${metres(reached_m)} so far.`,
    reaches_m !== null && `From today on the plan reaches ${metres(reaches_m)}.`].filter(Boolean).join(" ");
}

/** @param {Slate} slate */
function days(slate) {
  const { plan, today } = slate;
  const reason = reasons(slate);
  return h("section", { "aria-labelledby": "days-head" },
    h("h2", { id: "days-head" }, "Every day"),
    plan.days.some((day) => day.date === today) && h("p", null,
      h("a", { class: "button button-quiet", href: "#day-today" }, "To today")),
    stretches(plan.days).map((some) => [
      h("h3", null, some[0].block === null ? "Between blocks" : `Block ${some[0].block}`),
      h("ol", { class: "days" }, some.map((day) => dayItem(slate, day, reason(day)))),
    ]));
}

/** @param {Day[]} days */
function stretches(days) {
  const found = [];
  for (const day of days) {
    if (found.at(-1)?.[0].block === day.block) found.at(-1).push(day);
    else found.push([day]);
  }
  return found;
}

// A reason that holds for several days is told on the first of them; what the day is called needs none.
function reasons(slate) {
  let last = null;
  return ({ date, dives, done, kind, why: planned }) => {
    const end = endOf(slate, date);
    const why = end?.why ?? planned;
    const missed = date < slate.today && dives.length > 0 && done.length === 0;
    const needsNone = !end && ["rest", "break", "closed"].includes(kind);
    if (missed || needsNone || why === last) return null;
    last = why;
    const isResult = end === null && kind === "deep" && done.length > 0;
    return isResult ? `Why this target: ${why}.` : sentence(why); // a reason before the dives is not their result
  };
}

function inList(words, address) {
  return address ? h("a", { class: "in-list", href: address }, words) : words;
}

/** @param {Slate} slate @param {Day} day @param {string} reason */
function dayItem(slate, day, reason) {
  const { today, sheet } = slate;
  const end = endOf(slate, day.date);
  const open = end ? [] : day.dives.filter((dive) => dive.done === null);
  const quiet = open.length + day.done.length === 0;
  return h(
    "li",
    {
      class: quiet ? "quiet" : null,
      "aria-current": day.date === today ? "date" : null,
      id: day.date === today ? "day-today" : null,
    },
    h(
      "p",
      null,
      h("strong", null, shortDay(day.date)),
      day.date === today ? " (today)" : "",
      " ",
      h("span", { class: "word" }, day.date === today && end ? end.title : DAYS[day.kind]),
    ),
    day.done.map((dive) => h("p", null, mark(dive.verdict), ` ${doneName(dive, sheet)}: ${VERDICTS[dive.verdict]}`)),
    day.date >= today &&
      together(open).map(([words, dive]) =>
        h("p", null, mark("planned"), " ", inList(words, cardOf(sheet, dive)),
          standsOut(dive) && ` ${standsOut(dive)}`)),
    day.date < today && day.done.length === 0 && open.length > 0 && h("p", { class: "soft" }, "nothing logged"),
    reason && h("p", { class: "soft small" }, reason),
  );
}

// Drills of a day are alike: one line tells how many. Returns [words, first dive] of each line.
/** @param {PlannedDive[]} dives */
function together(dives) {
  const lines = new Map();
  for (const dive of dives) {
    const words = `${diveName(dive)}, ${metres(dive.target_m)}`;
    lines.set(words, [...(lines.get(words) ?? []), dive]);
  }
  return [...lines].map(([words, some]) => [some.length > 1 ? `${words}, ${some.length} times` : words, some[0]]);
}
