// What a logged dive means, in words: its verdict, then the end of the day and what to do, or the next target and its
// date.
import { dayOf } from "../plan/lookups.js";
import { noted, overOf as overBy } from "../reader/noted.js";
import { judge } from "../reader/verdict.js";
import { caution, h } from "../ui/dom.js";
import { mark } from "../ui/verdict_mark.js";
import {
  ROLES,
  VERDICTS,
  dayMonth,
  diveName,
  metres,
  minutes,
  sentence,
  show,
  signWords,
  standsOut,
  whenDay,
} from "../ui/words.js";
import { leastPause } from "./pause_clock.js";
import { HIDDEN, isHidden } from "./safety_diver.js";

/** The verdict of one logged dive with its flags, null without one. With a slate an injury names its signs. */
export function verdictLine(judged, slate) {
  if (!judged) return null;
  const word = sentence(VERDICTS[judged.verdict] ?? judged.verdict).slice(0, -1);
  return [
    h("p", { class: "verdict" }, mark(judged.verdict),
      h("span", null, h("strong", null, word), causes(judged, slate), afterColon(judged.says))),
    (judged.wins ?? []).map((won) => h("p", { class: "stands-out" }, h("strong", null, sentence(won)))),
    judged.flags.map((flag) => h("p", { class: "flag" }, sentence(flag))),
  ];
}

// What made a dive a possible injury or hard, in brackets: ` (ear pain; hearing changed)`, ` (ears slow; effort 8)`.
function causes({ id, verdict }, slate) {
  const dive = slate?.dives.find((one) => one.id === id);
  if (!dive || !["hurt", "hard"].includes(verdict)) return "";
  const names = dive.signs.filter((code) => slate.sheet.signs[code]?.verdict === verdict)
    .map((code) => signWords([code], slate.sheet)).map((name) => name.charAt(0).toLowerCase() + name.slice(1));
  const isHardEffort = verdict === "hard" && dive.effort !== null && dive.effort >= slate.sheet.numbers.hard_effort;
  const all = [...names, ...(isHardEffort ? [`effort ${dive.effort}`] : [])];
  return all.length > 0 ? ` (${all.join("; ")})` : "";
}

/**
 * The name of a logged dive: what was planned, and the depth reached if it differs: `FIM deep dive, 44 m, turned at 20
 * m`.
 */
export function doneName(judged, sheet) {
  const { target_m, reached_m } = judged;
  if (target_m === null) return `${diveName(judged)}, ${metres(reached_m)}`;
  const { tolerance_m, deeper_m } = sheet.numbers;
  const asPlanned = reached_m >= target_m - tolerance_m && reached_m < target_m + deeper_m;
  const word = judged.verdict === "turned" ? "turned at" : "reached";
  return `${diveName(judged)}, ${metres(target_m)}${asPlanned ? "" : `, ${word} ${metres(reached_m)}`}`;
}

// The rulebook's sentence begins with the verdict's name, which is already shown: only what follows the colon is added.
function afterColon(says) {
  const index = says.indexOf(":");
  return index === -1 ? "" : `:${says.slice(index + 1)}`;
}

/** Each dive of one day with its verdict: by the plan, or by its signs alone outside the plan. */
export function judgedOn({ plan, sheet, dives }, date) {
  const day = dayOf(plan, date);
  if (day || !plan) return day?.done ?? [];
  return dives.filter((dive) => dive.date === date).map((dive) => noted(sheet, dive, judge(sheet, dive), []));
}

/** The sentence that ends this day, or null. */
export function overOf(slate, date) {
  const { plan, sheet, dives } = slate;
  const day = dayOf(plan, date);
  if (day || !plan) return day?.over ?? null;
  return dives.filter((dive) => dive.date === date).map((dive) => overBy(sheet, dive, judge(sheet, dive)))
    .findLast(Boolean) ?? null;
}

/**
 * What ended the diving of this day, {title, why}, or null: every page must say the same of it.
 * @param {Slate} slate @param {string} date
 */
export function endOf(slate, date) {
  const { plan, today } = slate;
  if (date === today && plan?.stand_down) return { title: "No diving", why: plan.stand_down.why };
  const over = overOf(slate, date);
  return over ? { title: "The day is over", why: over } : null;
}

/** What the signs of a day mean for the rest of it while it is not over: limits, and what to do; null when nothing. */
export function restOfToday(slate) {
  const { dives, sheet, today } = slate;
  const limits = dives.filter(({ date }) => date === today).flatMap(({ signs }) =>
    signs.map((code) => sheet?.signs[code]?.today).filter(Boolean));
  const care = new Set(judgedOn(slate, today).flatMap((dive) => dive.care));
  if (limits.length + care.size === 0) return null;
  return h("section", { class: "sheet", id: "rest-of-today", "aria-labelledby": "rest-head" },
    h("h2", { id: "rest-head" }, "For the rest of today"),
    [...new Set(limits)].map((says) => h("p", { class: "flag" }, says)),
    caution([...care], "What to do", "h3"));
}

/** Everything to say at once after saving the dive `record` of the day `date`. */
export function aftermath(slate, record, date) {
  const { plan, today, sheet } = slate;
  const judged = judgedOn(slate, date).find((dive) => dive.id === record);
  const over = overOf(slate, date);
  return [
    judged && h("p", { id: "saved-dive" }, h("strong", null, doneName(judged, sheet))),
    verdictLine(judged, slate),
    !dayOf(plan, date) &&
      h(
        "p",
        null,
        plan
          ? "This day is outside the season. The dive is saved and counts for spacing and signs."
          : "There is no season on this phone yet. The dive is saved.",
      ),
    over && date === today && h("p", { class: "over" }, over),
    caution(judged?.care, "What to do now"),
    plan?.stand_down && h("p", { class: "over" }, sentence(plan.stand_down.why)),
    date === today && !isOver(slate) && restOfDay(slate),
    upNext(slate, isOver(slate, date)),
  ];
}

// The rest of the day: the next dive, which is mostly a drill, and the pause before it.
function restOfDay(slate) {
  const open = dayOf(slate.plan, slate.today)?.dives.find((dive) => dive.done === null);
  const pause_s = leastPause(slate);
  if (!open) return null;
  return h(
    "div",
    { id: "next-today" },
    open.role !== "deep" &&
      h("p", null, h("strong", null, "Next today: "), `${diveName(open)}, ${metres(open.target_m)}.`),
    pause_s !== null &&
      h("p", null, `At least ${minutes(pause_s)} of surface interval before the next dive, by the longest rule.`),
    caution(slate.sheet.cautions.interval, null),
  );
}

/** Whether diving is over today, or on the day of the dive in question. */
export function isOver(slate, date = slate.today) {
  return Boolean(slate.plan?.stand_down || overOf(slate, slate.today) || overOf(slate, date));
}

/** Whether these fields of a dive end its day. */
export function isGrave(fields, sheet) {
  return Boolean(sheet && overBy(sheet, fields, judge(sheet, fields)));
}

/** What to say when a sign that ends a day is deleted or edited away; `back` says how to restore it. */
export function signGone(back) {
  return h(
    "p",
    null,
    h("strong", null, "It had a sign that ends a day of diving. "),
    `If it did happen, ${back}. Without the sign the plan goes on as if nothing had happened; your body does not.`,
  );
}

/** Which of the clean dives in a row that a depth needs a planned dive is. @param {PlannedDive} dive */
export function inARow({ repeat, repeats }) {
  return repeats === 1 ? "one clean dive at this depth" : `clean dive ${repeat} of ${repeats} in a row at this depth`;
}

/** The next deep dive of the plan, with its day and its reason; after the end of the day only as one small line. */
export function upNext(slate, over) {
  const { plan, today } = slate;
  if (!plan) return null;
  const { next } = plan;
  if (next && over)
    return h(
      "p",
      { id: "next-plain" },
      `Next planned deep dive: ${next.discipline} ${metres(next.target_m)} on ${dayMonth(next.date)}.`,
    );
  if (!next)
    return h(
      "p",
      null,
      plan.stand_down
        ? "No next target until diving is allowed again."
        : "No more deep dives are planned in this season.",
    );
  const hidden = next.date === today && dayOf(plan, today)?.dives.find((dive, index) => isHidden(slate, dive, index));
  if (hidden) return h("p", { id: "next-hidden" }, `Next deep dive: ${diveName(hidden)} today, ${HIDDEN}.`);
  return h("div", { class: "line-part" },
    h("h2", null, "Next deep dive"),
    h("p", { class: "next" }, h("span", { class: "big" }, show(next.target_m), h("span", { class: "unit" }, "m"))),
    h("p", null,
      `${next.discipline} ${ROLES.deep}, ${whenDay(next.date, today)}, ${inARow(next)}.`),
    standsOut(next) && h("p", { class: "stands-out" }, h("strong", null, sentence(standsOut(next)))),
    h("p", { class: "soft" }, sentence(next.why)),
  );
}
