// One student opened: the last dives, what is coming, progress by week, the proposals made, and the form to propose.
import { weekLine } from "../drawings/week_line.js";
import { proposalDays, proposalWords, proposalsIn } from "./proposal_words.js";
import { coming, judgedDives, weeksOf } from "./student_of.js";
import { CHANGED, tellHere } from "../store/news.js";
import { removeIn } from "../store/feeds.js";
import { keyOf } from "../store/keys.js";
import { warn } from "../ui/alarm.js";
import { h } from "../ui/dom.js";
import { NOT_SAVED, VERDICTS, dayMonth, diveName, metres, sentence, whenDay } from "../ui/words.js";
import { lastWords, mayReadLog } from "./student_card.js";

const LAST = 8; // so many lines fit on a phone

/** @param {any} student @param {Slate} slate */
export function studentMore(student, slate) {
  const { plan, feed, today } = student;
  return [
    plan && section("Coming targets", coming(plan, today, LAST).map((dive) =>
      `${whenDay(dive.date, today)}: ${diveName(dive)}, ${metres(dive.target_m)}`), "None are planned."),
    plan && mayReadLog(feed) && section("Last dives", judgedDives(plan).slice(0, LAST).map((dive) =>
      `${lastWords(dive, today)}: ${VERDICTS[dive.verdict] ?? dive.verdict}`), "None are logged."),
    made(student, slate),
  ];
}

/** Progress of one student towards their own goals, week by week. @param {any} student */
export function progress({ plan, feed, name, today }) {
  if (!plan || !mayReadLog(feed)) return null;
  return weeksOf(plan, today).map((one) => h("figure", { class: "progress" },
    h("figcaption", null, `${name}, ${one.name}: deepest clean dive of each week; lines are the goals`),
    weekLine({ ...one, says: `${name}, ${one.name}: the table below has the depths by week` }),
    table(feed.feed, name, one)));
}

function table(feed, name, { name: discipline, weeks, goals }) {
  const row = ({ date, depth_m }) => h("tr", null, h("th", { scope: "row" }, `week from ${dayMonth(date)}`),
    h("td", { class: "number" }, depth_m === null ? "none" : metres(depth_m)));
  return h("details", { id: `weeks-${feed}-${discipline}` }, h("summary", null, "As a table"),
    h("table", null, h("caption", null, `${name}, ${discipline}: goals ${goals.map(metres).join(", ")}`),
      h("tbody", null, weeks.map(row))));
}

function section(title, lines, none) {
  const list = h("ul", null, lines.map((line) => h("li", null, listed(line))));
  return [h("h3", null, title), lines.length === 0 ? h("p", { class: "soft" }, none) : list];
}

// A line of a list: it begins with a capital letter, and no unit stands alone on the next line.
const listed = (words) => words.charAt(0).toUpperCase() + words.slice(1).replace(/(\d) (?=m\b)/g, "$1\u00a0");

function made({ feed, rows, today }, slate) {
  const all = proposalsIn(rows);
  if (all.length === 0) return null;
  return [h("h3", null, "Proposals"), h("ul", { class: "made" }, all.map(({ record, fields, waiting }) => {
    const days = proposalDays(fields, today);
    const isOwn = isBy(fields, slate);
    return h("li", null, [proposalWords(fields), days].filter(Boolean).join(", "), ". ", fields.says &&
      `${sentence(fields.says)} `, h("span", { class: "word" }, fields.answer ?? (waiting ? "not sent yet" : "open")),
      !isOwn && ` by ${fields.by}`,
      isOwn && !fields.answer && h("button", { type: "button", class: "button-quiet", id: `back-${record}`,
        click: () => takeBack(feed, record, slate) }, "Take it back"));
  }))];
}

// Whose proposal it is, by the person; an older one says only a name.
/** @param {Fields} fields @param {Slate} slate */
function isBy({ by, by_person }, { user, kept }) {
  return by_person ? by_person === kept[keyOf.person(user?.id)] : by === user?.name;
}

async function takeBack({ feed }, record, { user }) {
  try {
    await removeIn({ feed, record, user });
    tellHere(CHANGED);
  } catch (error) {
    console.error(error);
    warn(NOT_SAVED);
  }
}
