// What limits: the sentence first, then counts. No percentages, and no word of a cause.
import { grouped } from "../store/groups.js";
import { h } from "../ui/dom.js";
import { dayMonth, metres, show } from "../ui/words.js";
import { depths, fold, sheet, table } from "./outlook_words.js";

/** @param {Outlook} outlook */
export function limitsPart({ limits }) {
  return sheet("limits", "What limits",
    h("p", null, h("strong", null, limits.says)),
    by(limits.rows).map(([name, rows]) => table(`${name}, dives by depth`, ["Depth", "Dives", "Not clean", "Reasons"],
      rows.map((row) => [depths(row), row.dives, row.not_clean, reasons(row, limits.names)]))),
    conditions(limits),
    effort(limits),
    speeds(limits));
}

/** The rows of each discipline. @param {any[]} rows @returns {[string, any[]][]} */
const by = (rows) => [...grouped(rows, ({ discipline }) => discipline)];

/** @param {OutlookLimits["rows"][number]} row @param {OutlookLimits["names"]} names */
function reasons({ reasons: counted }, names) {
  return Object.entries(counted).filter(([, times]) => times > 0)
    .map(([name, times]) => `${names[name] ?? name} ${times}`).join(", ") || "none";
}

/** @param {OutlookLimits} limits */
function conditions({ conditions: all }) {
  return all.length > 0 && [h("h3", null, "Conditions on hard days"), h("ul", null, all.map(({ says }) =>
    h("li", null, says)))];
}

/** @param {OutlookLimits} limits */
function effort({ effort: all }) {
  return all.length > 0 && [h("h3", null, "Effort at the same depth"),
    h("ul", null, all.map((one) => h("li", null, `${effortName(one)}: ${one.says}`))),
    fold("effort-table", "As a table", all.map(({ marks, ...one }) =>
      table(effortName(one), ["Day", "Effort"],
        marks.map((one) => [dayMonth(one.date), show(one.effort)]))))];
}

const effortName = ({ discipline, depth_m }) => `${discipline}, ${metres(depth_m)}`;

/** @param {OutlookLimits} limits */
function speeds({ speeds: all }) {
  return all.length > 0 && fold("speeds", "Speed by depth",
    by(all).map(([name, rows]) =>
      table(`${name}, metres a second`, ["Depth", "Dives", "Mean", "Down, up"], rows.map(speedRow))),
    h("p", { class: "soft small" },
      "± is the spread of these dives. Down and up are known only where the log has both."));
}

/** @param {OutlookLimits["speeds"][number]} row */
function speedRow(row) {
  const spread = row.spread_m_s === null ? "" : ` ± ${speed(row.spread_m_s)}`;
  const ways = row.descent_m_s === null && row.ascent_m_s === null ? "–"
    : `${speed(row.descent_m_s)}, ${speed(row.ascent_m_s)}`;
  return [depths(row), row.dives, speed(row.mean_m_s) + spread, ways];
}

const speed = (value) => (value === null ? "–" : value.toFixed(2));
