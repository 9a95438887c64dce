// Load by week, days off and deep days beside it; and bests with their history.
import { loadBars } from "../drawings/load_bars.js";
import { h } from "../ui/dom.js";
import { DISCIPLINES, count, dayMonth, metres, sentence } from "../ui/words.js";
import { fold, sheet, table } from "./outlook_words.js";

const MOST_WEEKS = 16; // bars that can still be told from each other on a phone

/** @param {Outlook} outlook @param {number} wide */
export function loadPart({ load }, wide) {
  const { weeks, says, source, formula } = load;
  return sheet("load", "Load",
    says.map((one) => h("p", null, one)),
    weeks.length === 0 ? h("p", null, "No week with a dive is logged yet.") : [
      loadBars({ weeks: weeks.slice(-MOST_WEEKS), wide, says: spoken(weeks) }),
      weeks.some(({ missing }) => missing) && h("p", { class: "soft small" },
        "Hatched: the effort of a dive day is missing, so the load of that week is too small."),
      fold("load-table", "As a table",
        table("Load by week", ["Week from", "Load", "Deep days", "Days off"], weeks.map((one) =>
          [dayMonth(one.first_day), loadOf(one), one.deep_days, one.days_off])),
        table("Monotony and strain", ["Week from", "Monotony", "Strain"], weeks.map(evenness))),
    ],
    fold("load-formula", "How it is calculated", h("p", null, formula),
      h("p", { class: "soft" }, "Source: ", sentence(source))));
}

/** @param {LoadWeek} week */
function evenness({ first_day, monotony, strain }) {
  return [dayMonth(first_day), monotony?.toFixed(2) ?? "–", strain === null ? "–" : whole(strain)];
}

const whole = (value) => String(Math.round(value));

/** @param {LoadWeek} week */
const loadOf = ({ load, missing }) => whole(load) + (missing ? `, without ${count(missing, "day")}` : "");

/** @param {LoadWeek[]} weeks */
function spoken(weeks) {
  const last = weeks.at(-1);
  return `Load of ${count(weeks.length, "week")}; in the week from ${dayMonth(last.first_day)} ${whole(last.load)}. `
    + "All weeks are in the table below.";
}

/** @param {Outlook} outlook */
export function bestsPart({ bests }) {
  return sheet("bests", "Bests",
    h("p", null, bests.says),
    bests.rows.length > 0 && table("Deepest clean dive", ["Discipline", "Depth", "Day"], bests.rows.map((one) =>
      [`${one.discipline}, ${DISCIPLINES[one.discipline] ?? ""}`, metres(one.depth_m), dayAndSeason(one)])),
    bests.rows.length > 0 && fold("bests-history", "Earlier bests", bests.rows.map((one) =>
      table(one.discipline, ["Day", "Depth"], one.history.map((was) => [dayOfYear(was.on), metres(was.depth_m)])))));
}

const dayOfYear = (day) => `${dayMonth(day)} ${day.slice(0, 4)}`;
const dayAndSeason = ({ on, season }) => dayOfYear(on) + (season ? `, ${season}` : "");
