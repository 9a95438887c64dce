// Today: the next dive in large type, the list of the day, the pause since the last dive, or what ended the day.
import { localDay } from "../clock.js";
import { BOAT } from "../labels.js";
import { doneName, endOf, inARow, isOver, judgedOn, restOfToday, upNext, verdictLine } from "../parts/dive_says.js";
import { dayWords } from "../parts/day_says.js";
import { easyDay } from "../parts/easy_day.js";
import { keepDrawing } from "../parts/first_view.js";
import { focusLine, focusOf } from "../parts/focus_line.js";
import { lineReminder } from "../parts/line_reminder.js";
import { pauseClock } from "../parts/pause_clock.js";
import { askSafety, isHidden, namedSafety, targetWords } from "../parts/safety_diver.js";
import { itemsOf } from "../plan/check.js";
import { ownWord, wordsFor } from "../plan/day_word.js";
import { cardOf, dayOf, expectedSeconds, judgedDive } from "../plan/lookups.js";
import { CHANGED, tellHere } from "../store/news.js";
import { byId, caution, h, redraw } from "../ui/dom.js";
import { everySecond } from "../ui/every_second.js";
import { mark } from "../ui/verdict_mark.js";
import { DAYS, diveName, longDay, metres, minutes, sentence, show, standsOut } from "../ui/words.js";
import { startBoat } from "./boat.js";

const BOAT_ITEMS = Object.keys(BOAT.readiness ?? {});

let drawnDay = null;

startBoat((slate) => {
  const day = dayOf(slate.plan, slate.today);
  const over = isOver(slate);
  const open = day && !over ? openDives(day) : [];
  const [clock = null, rules = null] = over ? [] : pauseClock(slate); // a countdown would invite to dive
  drawnDay = slate.today;
  byId("day").textContent = [longDay(slate.today), slate.sheet?.site.name].filter(Boolean).join(" · ");
  redraw(byId("today"),
    notPlanned(slate),
    seasonEnded(slate),
    missing(slate),
    ended(slate),
    !over && restOfToday(slate),
    day && !over && kindOf(day),
    day && !over && ["rest", "break"].includes(day.kind) && outlook(),
    clock,
    day && !over && easyDay(slate, () => tellHere(CHANGED)),
    open.length > 0 && nextDive(slate, open[0]),
    day && prepare(slate, day, over ? [] : open),
    day && !over && easier(slate),
    proposed(slate), // never above what ended the day, nor above the next dive
    rules,
    day && list(slate, day, open[0]?.index),
    slate.plan && !hasEnded(slate) && (open[0]?.role === "deep" ? null : upNext(slate, over)),
    caution(slate.sheet?.cautions.today, "Before each dive"),
  );
  const next = open[0];
  byId("log-dive").textContent = next ? "Log this dive" : "Log a dive";
  byId("log-dive").classList.toggle("button-primary", !over && day?.kind !== "off");
  byId("log-dive").href = `/boat/dive${next ? `?plan=${next.index}` : over ? "?plan=none" : ""}`;
  keepDrawing(slate);
});

// A page left open overnight must not show yesterday as today.
everySecond(() => {
  if (drawnDay && drawnDay !== localDay()) tellHere(CHANGED);
});

/** @param {Day} day */
function openDives(day) {
  return day.dives.map((dive, index) => ({ ...dive, index })).filter((dive) => dive.done === null);
}

// What the server says of a season that it cannot plan; the phone goes on with the plan that it has.
/** @param {Slate} slate */
function notPlanned({ notPlanned: said }) {
  return said && h("div", { class: "news", id: "not-planned" },
    h("p", null, said.says),
    said.faults.length > 0 && h("ul", null, said.faults.map(({ field, says }) => h("li", null, `${field} ${says}`))),
    h("p", { class: "row" }, h("a", { class: "button", href: "/rulebook/" }, "To the rules of this season")));
}

// How many proposals of a coach wait for an answer.
/** @param {Slate} slate */
function proposed({ rows, today }) {
  const open = rows.filter(({ kind, deleted, fields: { what, answer, to, date } }) => kind === "proposal" && !deleted
    && !answer && !(BOAT.proposal?.[what]?.easier && (to || date) < today)).length;
  return open > 0 && h("p", { id: "proposed" }, h("a", { class: "button button-quiet", href: "/boat/proposals" },
    `${open} proposal${open > 1 ? "s" : ""} of your coach`));
}

function hasEnded({ plan, today }) {
  return plan && today > plan.days.at(-1).date;
}

// After the last day: what was reached, and the next season.
/** @param {Slate} slate */
function seasonEnded(slate) {
  if (!hasEnded(slate)) return null;
  return h("section", { class: "sheet", "aria-labelledby": "ended-season" },
    h("h2", { id: "ended-season" }, "The season is over"),
    h("p", null, `${slate.season?.name ?? "It"} ended on ${longDay(slate.plan.days.at(-1).date)}.`),
    h("p", { class: "actions" },
      h("a", { class: "button", href: "/boat/season" }, "What was reached"),
      h("a", { class: "button button-quiet", href: "/seasons/new" }, "Plan the next season")));
}

/** @param {Slate} slate */
function missing({ plan, trouble, user, notPlanned: said }) {
  if (plan || said) return null;
  if (trouble) return h("div", { class: "news" }, h("p", null, trouble));
  return h(
    "div",
    { class: "news" },
    h(
      "p",
      null,
      user
        ? "No season is active yet. Make one on the shore pages; this phone gets it with the next sync."
        : "This phone has no season yet. Sign in once with signal; after that these pages work without it.",
    ),
    h(
      "p",
      { class: "row" },
      h(
        "a",
        { class: "button", href: user ? "/seasons/" : "/account/sign-in?next=/boat/today" },
        user ? "To the seasons" : "Sign in",
      ),
      !user && h("a", { class: "button button-quiet", href: "/account/sign-up" }, "Make an account"),
    ),
  );
}

// First aid comes first; on later days of a stand-down it is folded.
/** @param {Slate} slate */
function ended(slate) {
  const { plan, today } = slate;
  const stop = plan?.stand_down, end = endOf(slate, today);
  if (!end) return null;
  const fresh = stop?.since === today ? stop.care : [];
  const care = new Set([...fresh, ...judgedOn(slate, today).flatMap((dive) => dive.care)]);
  return h("section", { class: "sheet ended", "aria-labelledby": "ended-head" },
    h("h2", { id: "ended-head" }, end.title),
    caution([...care], "What to do", "h3"),
    h("p", { class: "over" }, sentence(end.why)),
    h("p", { class: "actions" },
      care.size > 0 && h("a", { class: "button", href: "/boat/emergency" }, "Emergency steps"),
      h("a", { class: "button button-quiet", href: "/boat/care" },
        stop?.needs_clearance ? "Record a doctor's clearance" : "Care and the way back")),
    stop && stop.since !== today && stop.care.length > 0 && h("details", { id: "care" },
      h("summary", null, "What to do after such an event"), caution(stop.care, "What to do", "h3")));
}

// The reason often begins with the name of the day: then the name stands once.
/** @param {Day} day */
function kindOf(day) {
  if (day.kind === "stand-down") return null;
  const name = DAYS[day.kind];
  const begins = day.why.toLowerCase().startsWith(name.toLowerCase());
  const why = day.kind === "deep" ? "" : begins ? day.why.slice(name.length) : `: ${day.why}`;
  return h("p", { class: "day-kind" }, h("strong", null, name), why);
}

// On a day without dives there is time to look ahead and back.
function outlook() {
  return h("p", null, h("a", { class: "button button-quiet", id: "to-outlook", href: "/boat/outlook" }, "Outlook"));
}

// What the diver said of today, and the way to say it.
/** @param {Slate} slate */
function easier(slate) {
  const said = wordsFor(slate, slate.today).map(({ fields }) => dayWords(fields, slate.sheet)).filter(Boolean);
  return h("p", { class: "actions", id: "easier" },
    said.length > 0 && h("span", null, `You said: ${said.join("; ")}.`),
    h("a", { class: "button button-quiet", href: "/boat/day" }, said.length > 0 ? "Change it" : "Make today easier"));
}

// The morning and the check at the line, before the first deep dive. Conditions and gear, and the clock for somebody
// else's dive, on any day.
/** @param {Slate} slate @param {Day} day @param {PlannedDive[]} open */
function prepare(slate, day, open) {
  const before = open.some((dive) => dive.role === "deep");
  const morning = BOAT_ITEMS.some((item) => ownWord(slate, slate.today)?.fields[item]);
  const items = itemsOf(slate, slate.today);
  const left = items.filter((item) => !item.done).length;
  const link = (address, words, id) => h("a", { class: "button button-quiet", href: address, id }, words);
  return h("p", { class: "actions", id: "prepare" },
    (before || morning) && link("/boat/ready", morning ? "This morning ✓" : "This morning", "to-ready"),
    before && link("/boat/check", left === 0 ? "Check at the line ✓" : `Check at the line: ${left} left`, "to-check"),
    link("/boat/conditions", "Conditions and gear", "to-conditions"),
    link("/boat/clock", "Time a dive", "to-clock"),
    [...day.dives, ...day.done].some((dive) => dive.role === "drill") &&
      link("/boat/focus", "Technique focus", "to-focus"));
}

/** @param {Slate} slate @param {PlannedDive & { index: number }} dive */
function nextDive(slate, dive) {
  const { sheet } = slate;
  if (isHidden(slate, dive, dive.index)) {
    return h("section", { class: "next-dive line-part", "aria-labelledby": "next-head" },
      h("h2", { id: "next-head" }, "Next: ", diveName(dive)),
      askSafety(slate, dive));
  }
  const expected = expectedSeconds(sheet, dive.discipline, dive.target_m);
  const which = dive.role === "deep" ? inARow(dive) : `${dive.repeat} of ${dive.repeats}`;
  return h("section", { class: "next-dive line-part", "aria-labelledby": "next-head" },
    h("h2", { id: "next-head" }, "Next: ", diveName(dive)),
    h("p", { class: "next" }, h("span", { class: "big" }, show(dive.target_m), h("span", { class: "unit" }, "m"))),
    h("p", null, [expected && `About ${minutes(expected)} expected`, which].filter(Boolean).join(" · ")),
    standsOut(dive) && h("p", { class: "stands-out" }, h("strong", null, sentence(standsOut(dive)))),
    lineReminder(sheet, dive),
    focusLine(slate, dive),
    namedSafety(slate, dive),
    h("p", { class: "soft" }, sentence(dive.why)),
    h("p", { class: "actions" }, cardLink(sheet, dive, "button button-quiet"),
      h("a", { class: "button button-quiet", href: `/boat/clock?plan=${dive.index}` }, "Dive clock"),
      dive.role === "deep" && h("a", { class: "button button-quiet", href: "/boat/dive?role=warm-up" },
        "Log a warm-up")));
}

/** @param {Sheet} sheet @param {PlannedDive} dive @param {string} look */
function cardLink(sheet, dive, look) {
  const address = cardOf(sheet, dive);
  return address && h("a", { class: look, href: address }, "Card",
    h("span", { class: "visually-hidden" }, ` of ${diveName(dive)}, ${metres(dive.target_m)}`));
}

/** @param {Slate} slate @param {Day} day @param {number} nextIndex */
function list(slate, day, nextIndex) {
  if (day.dives.length + day.done.length === 0) return null;
  const planned = new Set(day.dives.map((dive) => dive.done));
  const others = day.done.filter((dive) => !planned.has(dive.id));
  return h(
    "section",
    { class: "sheet", "aria-labelledby": "list-head" },
    h("h2", { id: "list-head" }, "Today's dives"),
    h(
      "ol",
      { class: "dives" },
      day.dives.map((dive, index) => h("li", null, item(slate, day, dive, index, nextIndex))),
      others.map((dive) =>
        h(
          "li",
          null,
          h("span", null, doneName(dive, slate.sheet)),
          " ",
          h("span", { class: "word" }, "not on the list"),
          verdictLine(dive, slate),
        ),
      ),
    ),
  );
}

/** @param {Slate} slate @param {Day} day @param {PlannedDive} dive @param {number} index @param {number} nextIndex */
function item(slate, day, dive, index, nextIndex) {
  const { plan, sheet } = slate;
  const hidden = isHidden(slate, dive, index);
  const name = `${diveName(dive)}, ${targetWords(slate, dive, index)}`;
  const judged = judgedDive(plan, dive.done);
  if (judged)
    return [
      h("span", null, doneName(judged, sheet)),
      " ",
      h("span", { class: "word" }, "done"),
      verdictLine(judged, slate),
    ];
  const focus = focusOf(slate, dive);
  if (day.over || plan.stand_down)
    return [h("span", null, name), " ", h("span", { class: "word" }, "dropped: no more dives")];
  return [
    mark("planned"),
    h("a", { class: "in-list", href: `/boat/dive?plan=${index}` }, name),
    " ",
    h("span", { class: "word" }, index === nextIndex ? "next" : "planned"),
    index !== nextIndex && !hidden && cardLink(sheet, dive, "in-list card-link"),
    (focus || (standsOut(dive) && !hidden)) &&
      h("p", { class: "soft small" }, [focus, !hidden && standsOut(dive)].filter(Boolean).join(" · ")),
  ];
}
