// The pictures of progress: planned and done by date with the forecast's band, and the season beside earlier ones;
// each with its table.
import { courseLine } from "../drawings/course_line.js";
import { dayNumber } from "../drawings/axes.js";
import { seasonBeside } from "../drawings/season_beside.js";
import { h, svg } from "../ui/dom.js";
import { mark } from "../ui/verdict_mark.js";
import { DISCIPLINES, GOALS, VERDICTS, count, dayMonth, metres } from "../ui/words.js";
import { daysOf, fold, goalName, sheet, table } from "./outlook_words.js";

const SHAPES = [["clean", "clean"], ["hard", "hard"], ["turned", "turned early"], ["over", "ended the day"],
  ["planned", "planned"]];
const MOST_EARLIER = 3; // lines that can still be told from each other
const NOW = "A";

/** @param {Outlook} outlook @param {number} wide */
export function coursePart(outlook, wide) {
  const all = Object.entries(outlook.progress.disciplines);
  return all.length > 0 && sheet("by-date", "Planned and done",
    all.map(([name, of]) => course(outlook, name, of, wide)));
}

/** @param {Outlook} outlook @param {string} name @param {Progress} of @param {number} wide */
function course(outlook, name, of, wide) {
  const band = outlook.forecast.disciplines?.[name]?.band ?? [];
  const nothing = of.done.length + of.planned.length + of.goals.length === 0;
  if (nothing) return null;
  const goals = of.goals.map((goal) => ({ words: GOALS[`${goal.name}_m`] ?? goal.name, depth_m: goal.depth_m }));
  return h("figure", { class: "outlook-picture" },
    h("figcaption", null, h("strong", null, `${name}, ${DISCIPLINES[name] ?? ""}`)),
    courseLine({ id: `hatch-${name}`, of, band, today: outlook.today, wide, goals, says: spoken(name, of, band) }),
    legend(of, band),
    fold(`by-date-${name}`, "As a table", courseTable(name, of, band)));
}

/** @param {string} name @param {Progress} of @param {BandDay[]} band */
function spoken(name, of, band) {
  const last = band.at(-1);
  return [
    `${name}: ${count(of.done.length, "deep dive")} done, ${of.planned.length} planned, ${daysOf(of)}`,
    of.best_m !== null && `best ${metres(of.best_m)}`,
    of.goals.length > 0 && `goals: ${of.goals.map(goalName).join("; ")}`,
    last && `forecast for ${dayMonth(last.date)}: ${metres(last.low_m)} to ${metres(last.high_m)}`,
  ].filter(Boolean).join(". ") + ". The days are in the table below.";
}

/** @param {Progress} of @param {BandDay[]} band */
function legend(of, band) {
  const there = new Set([...of.done.map(({ verdict }) => (SHAPES.some(([one]) => one === verdict) ? verdict : "over")),
    of.planned.length > 0 && "planned"]);
  return h("ul", { class: "legend", "aria-label": "Shapes" },
    SHAPES.filter(([one]) => there.has(one)).map(([one, words]) => h("li", null, mark(one), words)),
    of.goals.length > 0 && h("li", null, sample(svg("path", { class: "goal", d: "M0 8H26" })), "goal"),
    of.best_m !== null && h("li", null, sample(svg("path", { class: "best", d: "M0 8H26" })), "best"),
    band.length > 0 && h("li", null, sample(svg("path", { class: "hatch", d: "M3 14L13 2M11 14L21 2M19 14L25 7" }),
      svg("path", { class: "band", fill: "none", d: "M1 2H25V14H1Z" })),
    "forecast: about 8 of 10 seasons like this end the day within it; the line is its middle"));
}

function sample(...children) {
  return svg("svg", { class: "sample", viewBox: "0 0 26 16", width: 26, height: 16, "aria-hidden": "true" }, children);
}

/** @param {string} name @param {Progress} of @param {BandDay[]} band */
function courseTable(name, of, band) {
  const days = [...new Set([...of.done, ...of.planned, ...band].map(({ date }) => date))].sort();
  const on = (rows, date) => rows.filter((one) => one.date === date);
  return table(`${name}, by date`, ["Day", "Done", "Planned", ...(band.length > 0 ? ["Forecast"] : [])],
    days.map((date) => [
      dayMonth(date),
      on(of.done, date).map((one) => `${metres(one.depth_m)}, ${VERDICTS[one.verdict] ?? one.verdict}`).join("; "),
      on(of.planned, date).map((one) => metres(one.depth_m)).join("; "),
      ...(band.length > 0 ? [on(band, date).map(bandWords).join("")] : []),
    ]));
}

/** @param {BandDay} day */
const bandWords = ({ low_m, mid_m, high_m }) => `${metres(low_m)} to ${metres(high_m)}, middle ${metres(mid_m)}`;

/** The season so far beside earlier ones. @param {Outlook} outlook @param {number} wide */
export function besidePart({ progress, season }, wide) {
  const all = Object.entries(progress.disciplines).filter(([, { earlier, done }]) => earlier.length + done.length > 0);
  return all.length > 0 && sheet("beside", "This season beside earlier ones",
    all.map(([name, of]) => beside(name, of, season?.name ?? "This season", wide)));
}

/** @param {string} name @param {Progress} of @param {string} now @param {number} wide */
function beside(name, of, now, wide) {
  const begin = dayNumber(of.first_day);
  const marks = of.done.filter(({ verdict }) => verdict === "clean")
    .map(({ date, depth_m }) => ({ day: dayNumber(date) - begin, depth_m }));
  const shown = [{ name: now, marks }, ...of.earlier.slice(0, MOST_EARLIER)].filter((one) => one.marks.length > 0)
    .map((one, at) => ({ ...one, letter: String.fromCharCode(NOW.charCodeAt(0) + at) }));
  if (shown.length === 0) return h("p", null, `${name}: no clean dive yet.`);
  return h("figure", { class: "outlook-picture" },
    h("figcaption", null, h("strong", null, `${name}: `), "deepest clean dive so far, from the first day of each"),
    seasonBeside({ seasons: shown, wide, says: besideSpoken(name, shown) }),
    h("ul", { class: "legend", "aria-label": "Lines" }, shown.map(({ letter, name: of_ }, at) => h("li", null,
      sample(svg("path", { class: `beside beside-${at}`, d: "M0 8H26" })), `${letter}: ${of_}`))),
    of.earlier.length > MOST_EARLIER && h("p", { class: "soft small" }, "Older seasons are in the table only."),
    fold(`beside-${name}`, "As a table", besideTable(name, [{ name: now, marks }, ...of.earlier])));
}

function besideSpoken(name, seasons) {
  const each = seasons.map((one) => `${one.letter}, ${one.name}, to ${metres(deepest(one.marks))}`);
  return `${name}: the deepest clean dive so far by day of the season. ${each.join("; ")}. `
    + "The days are in the table below.";
}

const deepest = (marks) => Math.max(...marks.map(({ depth_m }) => depth_m));

function besideTable(name, seasons) {
  return table(`${name}, clean dives by day of the season`, ["Season", "Day", "Depth"],
    seasons.flatMap((one) => one.marks.map(({ day, depth_m }) => [one.name, `day ${day + 1}`, metres(depth_m)])));
}
