// One student on the coach's page: what is planned today, what was dived last, the focus, and what needs a look.
import { localTime } from "../clock.js";
import { focusOn, focusWords } from "../plan/focus.js";
import { dayOf } from "../plan/lookups.js";
import { judgedDives, needsLook, openDeep } from "./student_of.js";
import { inOrder } from "../plan/surfaced.js";
import { h } from "../ui/dom.js";
import { mark } from "../ui/verdict_mark.js";
import {
  DAYS, DISCIPLINES, VERDICTS, diveName, metres, sentence, signWords, whenDay, whenMoment,
} from "../ui/words.js";
import { leastPause } from "./pause_clock.js";

/** @param {SharedFeed} feed */
export const mayReadLog = (feed) => feed.rights.includes("log");

/** What the list shows of a student. @param {any} student */
export function studentCard(student) {
  return [
    ...look(student),
    today(student),
    pause(student),
    last(student),
    focus(student),
    outlook(student.feed),
    notShared(student.feed),
    known(student),
  ];
}

function look(student) {
  if (!mayReadLog(student.feed)) return [];
  return needsLook(student).map((says) => h("p", { class: "flag needs-look" }, sentence(says)));
}

// Who may only see the list of the day sees what a buddy sees.
function listed({ list }, now) {
  const day = list?.days.find(({ date }) => date === now);
  if (!day) return h("p", null, "Nothing is planned for today.");
  if (day.dives.length === 0) return h("p", null, h("strong", null, "Today: "), `${day.why}.`);
  return h("ul", { class: "listed" }, day.dives.map((dive) => h("li", null,
    `${diveName(dive)}${dive.target_m === null ? "" : `, ${metres(dive.target_m)}`}${dive.done ? ", done" : ""}`)));
}

function today({ feed, plan, trouble, today: now }) {
  if (!mayReadLog(feed)) return listed(feed, now);
  if (feed.not_planned) return h("p", null, feed.not_planned.says);
  if (trouble) return h("p", null, "This phone cannot read the plan that it was sent.");
  if (!plan) return h("p", null, "No season is active.");
  const day = dayOf(plan, now);
  if (!day) return h("p", null, "Today is outside the season.");
  const deep = openDeep(plan, now);
  if (!deep || day.over || plan.stand_down) return h("p", null, h("strong", null, "Today: "), kindOf(day));
  return h("p", null, h("strong", null, `Today: ${diveName(deep)}, ${metres(deep.target_m)}. `), sentence(deep.why));
}

function kindOf(day) {
  if (day.over) return "the day is over.";
  if (day.kind === "deep") return "no deep dive is left.";
  const name = (DAYS[day.kind] ?? day.kind).toLowerCase();
  return sentence(day.why.toLowerCase().startsWith(name) ? day.why : `${name}: ${day.why}`);
}

function pause(student) {
  const timed = inOrder(student.dives.filter(({ date }) => date === student.today));
  const seconds = timed.length > 0 ? leastPause(student) : null;
  if (seconds === null) return null;
  const { ms } = timed.at(-1);
  const until = localTime(ms + seconds * 1000);
  return h("p", null, `Surfaced at ${localTime(ms)}; surface interval at least until ${until}.`);
}

function last({ feed, plan, dives, sheet, today: now }) {
  if (!mayReadLog(feed)) return null;
  const judged = judgedDives(plan)[0];
  if (!judged) return h("p", { class: "soft" }, "No dive of this season is logged yet.");
  const signs = signWords(dives.find(({ id }) => id === judged.id)?.signs, sheet);
  return h("p", { class: "verdict" }, mark(judged.verdict), h("span", null, `${lastWords(judged, now)}: `,
    h("strong", null, VERDICTS[judged.verdict] ?? judged.verdict), signs && ` (${signs})`));
}

/** A dive with its day: `FIM deep dive, 38 m, today`. @param {DoneDive & { date: string }} dive @param {string} now */
export function lastWords(dive, now) {
  return `${diveName(dive)}, ${metres(dive.reached_m)}, ${whenDay(dive.date, now)}`;
}

function focus(student) {
  const found = Object.keys(DISCIPLINES).map((name) => focusOn(student, name, student.today)).filter(Boolean);
  if (found.length === 0) return null;
  return h("p", null, "Focus: ", found.map(({ fields }) => `${focusWords(fields)} (${fields.discipline})`).join("; "));
}

// What a coach may read, the server can calculate from.
function outlook(feed) {
  return mayReadLog(feed) && h("p", { class: "actions" }, h("a", { class: "button button-quiet",
    href: `/boat/outlook?feed=${feed.feed}`, "aria-label": `Outlook of ${feed.name}` }, "Outlook"));
}

function notShared(feed) {
  return !mayReadLog(feed) && h("p", { class: "soft" }, "The log is not shared: no signs, no verdicts.");
}

// What a coach sees is as old as this: nothing later was sent.
function known({ rows }) {
  const moments = rows.map(({ fields }) => fields.logged_at ?? "").filter(Boolean).sort();
  const moment = moments.at(-1);
  if (!moment) return h("p", { class: "soft small" }, "Nothing with a time was sent yet.");
  return h("p", { class: "soft small" }, `Last entry sent: ${whenMoment(Date.parse(moment))}.`);
}
