// Am I on course: the answer in sentences, what it rests on, and each goal as a card.
import { h } from "../ui/dom.js";
import { DISCIPLINES, longDay } from "../ui/words.js";
import { facts, goalName, percent, sheet } from "./outlook_words.js";

/** @param {Outlook} outlook */
export function forecastPart({ forecast }) {
  const none = forecast.none_because;
  if (none) return sheet("course", "Am I on course?", h("p", { class: "flag" }, none));
  return sheet("course", "Am I on course?",
    h("p", { class: "flag", id: "assumed" }, forecast.assumed_says),
    (forecast.says ?? []).map((says) => h("p", null, says)),
    Object.entries(forecast.disciplines ?? {}).map(of),
    h("p", null, forecast.not_clean?.says),
    h("p", { class: "soft" }, forecast.lost_says));
}

/** @param {[string, { goals: ForecastGoal[], says: string }]} entry */
function of([name, { goals, says }]) {
  return [
    h("h3", null, `${name}, ${DISCIPLINES[name] ?? ""}`),
    h("p", null, says),
    h("ul", { class: "goal-cards" }, goals.map(card)),
  ];
}

/** @param {ForecastGoal} goal */
function card(goal) {
  return h("li", { class: "goal-card" },
    h("h4", null, goalName(goal)),
    h("p", null, goal.says),
    facts([
      ["Chance", goal.chance === null ? null : percent(goal.chance)],
      ["If every dive is clean", goal.if_clean_on && longDay(goal.if_clean_on)],
      ["Likely from", goal.likely_on && longDay(goal.likely_on)],
    ]));
}
