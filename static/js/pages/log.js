// The log: a line a dive, by day, newest first; a line opens to all of the dive, with edit, history and delete.
import { dayWords } from "../parts/day_says.js";
import { factsOf } from "../parts/record_facts.js";
import { isGrave, signGone, verdictLine } from "../parts/dive_says.js";
import { isLighter } from "../parts/lighter.js";
import { hasNoDay, kindLabel, recordDay, recordHeading } from "../labels.js";
import { judgedDive } from "../plan/lookups.js";
import { grouped } from "../store/groups.js";
import { remove, restore, save } from "../store/outbox.js";
import { readSlate } from "../store/slate.js";
import { STATES } from "../store/states.js";
import { warn } from "../ui/alarm.js";
import { byId, h, put, redraw } from "../ui/dom.js";
import { mark } from "../ui/verdict_mark.js";
import {
  FIELDS,
  NOT_SAVED,
  VERDICTS,
  count,
  diveName,
  longDay,
  metres,
  minutes,
  sentence,
  shortDay,
} from "../ui/words.js";
import { startBoat } from "./boat.js";

const PAGE = 50;
const UNDO_MS = 10_000;

let shown = PAGE;
let sheet = /** @type {Sheet} */ (null); // for the words of what was said of a day

startBoat(draw);

function draw(slate) {
  sheet = slate.sheet;
  const newest = slate.rows.toReversed();
  const alive = newest.filter((row) => !row.deleted && (row.damaged || !hasNoDay(row.kind))); // a site is no entry
  const look = newest.filter((row) => row.state === STATES.look);
  const gone = newest.filter((row) => row.deleted);
  const calm = alive.filter((row) => row.state !== STATES.look);
  const listed = calm.slice(0, shown);
  redraw(
    byId("log"),
    look.length > 0 &&
      h(
        "section",
        { "aria-labelledby": "needs-a-look" },
        h("h2", { id: "needs-a-look", tabindex: "-1" }, "Needs a look"),
        h("p", null, "The server could not take these as they are. They stay on this phone until you change them."),
        h(
          "ul",
          { class: "rows" },
          look.map((row) => card(slate, row)),
        ),
      ),
    h("h2", null, count(alive.length, "record")),
    alive.length === 0 && h("p", null, "Nothing logged yet."),
    [...grouped(listed, (row) => recordDay(row))].map(([day, rows]) => [
      h("h3", { class: "log-day" }, dayHead(day, slate.today)),
      h(
        "ul",
        { class: "rows" },
        rows.map((row) => (row.damaged ? card(slate, row) : line(slate, row))),
      ),
    ]),
    calm.length > shown &&
      h("button", { type: "button", id: "more", click: () => more(slate) }, "Show older ones"),
    gone.length > 0 &&
      h(
        "details",
        { class: "sheet", id: "deleted" },
        h("summary", null, `Deleted (${gone.length})`),
        h(
          "ul",
          { class: "rows" },
          gone.map((row) => deletedEntry(row)),
        ),
      ),
  );
}

function more(slate) {
  shown += PAGE;
  draw(slate);
}

function dayHead(day, today) {
  if (day === null) return "No date";
  const year = day.slice(0, 4) === today.slice(0, 4) ? "" : ` ${day.slice(0, 4)}`;
  return h("time", { datetime: day }, `${day === today ? "Today, " : ""}${shortDay(day)}${year}`);
}

function title(row) {
  if (row.damaged) return "A record that cannot be read any more";
  if (row.kind !== "dive") return kindName(row);
  return [`${diveName(row.fields)}, ${metres(row.fields.reached_m)}`, plannedDepth(row)].filter(Boolean).join(", ");
}

// Any other kind than a dive: what it is, and what tells it from others of its day.
function kindName(row) {
  const said = row.kind === "day" ? dayWords(row.fields, sheet) : recordHeading(row);
  const name = row.kind === "day" && !said ? "About the day" : sentence(kindLabel(row.kind)).slice(0, -1);
  return [name, said].filter(Boolean).join(", ");
}

function plannedDepth({ fields }) {
  return fields.target_m !== null && fields.target_m !== fields.reached_m && `planned ${metres(fields.target_m)}`;
}

function diveTime({ fields }) {
  return fields.dive_s !== null && minutes(fields.dive_s);
}

function when(row) {
  const day = recordDay(row);
  return [day && longDay(day), row.fields.at].filter(Boolean).join(", ");
}

/** All of one record openly: what needs a look must not wait for a touch. */
function card(slate, row) {
  return h(
    "li",
    { class: "sheet", "data-record": row.record },
    h("p", { class: "soft small" }, when(row)),
    h("h3", null, title(row)),
    factsOf(slate, row, diveTime(row)),
    verdictLine(judgedDive(slate.plan, row.record), slate),
    stateWord(row),
    row.faults.length > 0 &&
      h(
        "ul",
        { class: "reasons" },
        row.faults.map(({ field, says }) => h("li", null, `${FIELDS[field] ?? field} ${says}.`.trim())),
      ),
    changedTwice(row),
    acts(row),
  );
}

/** One record as one line; what is usual stands behind it, and what is still to happen in it. */
function line(slate, row) {
  const judged = judgedDive(slate.plan, row.record);
  const waits = row.state !== STATES.sent;
  return h("li", { "data-record": row.record },
    h("details", { id: `line-${row.record}` },
      h("summary", { class: "log-line", id: `line-head-${row.record}` },
        h("span", { class: "log-at" }, row.fields.at), " ",
        row.kind === "dive" ? top(row) : h("span", { class: "log-top" }, kindName(row)), " ",
        h("span", { class: "log-sub" },
          h("span", { class: "log-how" },
            judged && [mark(judged.verdict), VERDICTS[judged.verdict] ?? judged.verdict], " ",
            waits && stateWord(row), " ",
            isUnseen(row.fields) && h("span", { class: "word" }, "logged by another"), " ",
            row.conflict.length > 0 && h("span", { class: "word" }, "changed elsewhere too")), " ",
          row.kind === "dive" && h("span", { class: "log-time" }, diveTime(row)))),
      h("div", { class: "log-more" },
        factsOf(slate, row, plannedDepth(row)),
        isUnseen(row.fields) && loggedBy(row),
        verdictLine(judged, slate),
        !waits && stateWord(row),
        changedTwice(row),
        acts(row))));
}

function top({ fields }) {
  return h("span", { class: "log-top" },
    h("span", { class: "log-what" }, diveName(fields)), " ",
    h("strong", { class: "log-depth" }, metres(fields.reached_m)));
}

const isUnseen = ({ logged_by, confirmed }) => Boolean(logged_by && !confirmed);

// A dive that somebody else logged, until its diver has looked at it.
function loggedBy(row) {
  const click = () => done((edit) => save({ ...edit, kind: "dive", fields: { confirmed: true } }), row);
  return h("p", { class: "flag" }, `Logged by ${row.fields.logged_by}. Is it right? If not, edit it. `,
    h("button", { type: "button", id: `confirm-${row.record}`, click }, "That is right"));
}

function stateWord({ state }) {
  return h("span", { class: "word state" }, state);
}

function changedTwice({ conflict }) {
  if (conflict.length === 0) return null;
  return h(
    "p",
    { class: "small" },
    `Changed on another device too: ${conflict.map((name) => FIELDS[name] ?? name).join(", ")}. ` +
      "The later one is shown; the other is in the history.",
  );
}

function acts(row) {
  const about = h("span", { class: "visually-hidden" }, ` ${title(row)}, ${when(row)}`);
  return h(
    "div",
    { class: "row" },
    editor(row) && h("a", { class: "button", id: `edit-${row.record}`, href: editor(row) }, "Edit", about),
    row.fields.role === "drill" &&
      h("a", { class: "button", href: `/boat/technique?dive=${encodeURIComponent(row.record)}` }, "Clips and figures",
        about.cloneNode(true)),
    row.rev > 0 &&
      h(
        "a",
        { class: "button button-quiet", href: `/history/${encodeURIComponent(row.record)}` },
        "History",
        about.cloneNode(true),
      ),
    h(
      "button",
      { type: "button", class: "button-quiet", id: `delete-${row.record}`, click: () => askToDrop(row) },
      "Delete",
      about.cloneNode(true),
    ),
  );
}

// Where a record is changed; a clearance is not.
function editor({ kind, record, fields, damaged }) {
  if (damaged) return null;
  if (kind === "day") return `/boat/day?date=${fields.date}`;
  if (kind === "focus") return `/boat/focus?discipline=${fields.discipline}`;
  return ["dive", "site"].includes(kind) ? `/boat/${kind}?id=${encodeURIComponent(record)}` : null;
}

function deletedEntry(row) {
  return h(
    "li",
    { "data-record": row.record },
    h("p", null, `${[title(row), when(row)].filter(Boolean).join(", ")} `, h("span", { class: "word" }, row.state)),
    h(
      "button",
      { type: "button", class: "button-quiet", id: `restore-${row.record}`, click: () => bringBack(row) },
      "Restore",
      h("span", { class: "visually-hidden" }, ` ${title(row)}`),
    ),
  );
}

// A dive with a result that is not clean goes with a reason only, which is saved first and stays in its history.
function askToDrop(row) {
  if (row.kind !== "dive" || row.damaged || !isLighter(sheet, row.fields, null)) return drop(row, null);
  const submit = (event) => {
    event.preventDefault();
    const why = byId("why").value.trim();
    return why ? drop(row, why) : byId("why").focus();
  };
  put(byId("undo-bar"), h("form", { class: "news", novalidate: true, submit },
    h("label", { for: "why" }, "What was wrong with the first entry?"),
    h("input", { id: "why", autocomplete: "off", required: true }),
    h("div", { class: "row" },
      h("button", { id: "drop" }, "Delete it"),
      h("button", { type: "button", id: "keep", click: () => put(byId("undo-bar")) }, "Keep it"))));
  return byId("why").focus();
}

async function drop(row, why) {
  const act = async (edit) => {
    if (why) await save({ ...edit, kind: row.kind, fields: { lighter_why: why } });
    await remove(edit);
  };
  if (!(await done(act, row))) return;
  const grave = row.kind === "dive" && !row.damaged && isGrave(row.fields, (await readSlate()).sheet);
  const bar = h("div", { class: "news" },
    h("p", null, `Deleted: ${title(row)}. It can be restored below at any time.`),
    grave && signGone("undo"),
    h("button", { type: "button", id: "undo", click: () => bringBack(row, why) }, "Undo"));
  put(byId("undo-bar"), bar);
  byId("undo").focus();
  if (!grave) setTimeout(() => bar.remove(), UNDO_MS);
}

// Undone at once, a deletion leaves the reason that the dive had before it.
async function bringBack(row, why = null) {
  put(byId("undo-bar"));
  const act = async (edit) => {
    await restore(edit);
    if (why) await save({ ...edit, kind: row.kind, fields: { lighter_why: row.fields.lighter_why ?? "" } });
  };
  if (!(await done(act, row))) return;
  byId(`line-${row.record}`)?.setAttribute("open", ""); // the keyboard goes on where the dive is
  byId(`delete-${row.record}`)?.focus();
}

async function done(act, { record }) {
  try {
    const { user } = await readSlate();
    await act({ record, user: user?.id ?? null });
    draw(await readSlate());
    return true;
  } catch (error) {
    console.error(error);
    warn(NOT_SAVED);
    return false;
  }
}
