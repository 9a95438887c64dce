// The log: every dive of this diver, newest first, with the way it has gone; edit, delete, undo, restore.
import { isGrave, signGone, verdictLine } from "../parts/dive_says.js";
import { kindLabel, recordDay, recordHeading } from "../labels.js";
import { toldOf } from "../plan/lookups.js";
import { remove, restore } from "../store/outbox.js";
import { readSlate } from "../store/slate.js";
import { STATES } from "../store/states.js";
import { warn } from "../ui/alarm.js";
import { byId, h, put, redraw } from "../ui/dom.js";
import { FIELDS, NOT_SAVED, count, diveName, longDay, metres, minutes, sentence, signWords } from "../ui/words.js";
import { startBoat } from "./boat.js";

const PAGE = 50;
const UNDO_MS = 10_000;

let shown = PAGE;

startBoat(draw);

/** @param {Slate} slate */
function draw(slate) {
  const newest = slate.rows.toReversed();
  const alive = newest.filter((row) => !row.deleted);
  const look = newest.filter((row) => row.state === STATES.look);
  const gone = newest.filter((row) => row.deleted);
  redraw(byId("log"),
    look.length > 0 && h("section", { "aria-labelledby": "needs-a-look" },
      h("h2", { id: "needs-a-look", tabindex: "-1" }, "Needs a look"),
      h("p", null, "The server could not take these as they are. They stay on this phone until you change them."),
      h("ul", { class: "rows" }, look.map((row) => entry(slate, row)))),
    h("h2", null, count(alive.length, "record")),
    alive.length === 0 && h("p", null, "Nothing logged yet."),
    h("ul", { class: "rows" }, alive.filter((row) => row.state !== STATES.look).slice(0, shown)
      .map((row) => entry(slate, row))),
    alive.length - look.length > shown && h("button", { type: "button", id: "more", click: () => more(slate) },
      "Show older ones"),
    gone.length > 0 && h("details", { class: "sheet", id: "deleted" },
      h("summary", null, `Deleted (${gone.length})`),
      h("ul", { class: "rows" }, gone.map((row) => deletedEntry(row)))));
}

/** @param {Slate} slate */
function more(slate) {
  shown += PAGE;
  draw(slate);
}

/** @param {ShownRow} row */
function title({ kind, fields, damaged }) {
  if (damaged) return "A record that cannot be read any more";
  if (kind === "clearance") return `Doctor's clearance by ${fields.by}`;
  if (kind !== "dive") return [sentence(kindLabel(kind)).slice(0, -1), recordHeading({ kind, fields })].filter(Boolean).join(", ");
  const target = fields.target_m === null || fields.target_m === fields.reached_m ? "" : `, planned ${metres(fields.target_m)}`;
  return `${diveName(fields)}, ${metres(fields.reached_m)}${target}`;
}

/** @param {ShownRow} row @param {Sheet} sheet */
function facts({ kind, fields, damaged }, sheet) {
  if (kind !== "dive" || damaged) return null;
  const signs = signWords(fields.signs, sheet);
  const parts = [
    fields.dive_s !== null && minutes(fields.dive_s),
    fields.effort !== null && `effort ${fields.effort}`,
    signs,
  ].filter(Boolean);
  return [parts.length > 0 && h("p", null, parts.join(" · ")), fields.note && h("p", { class: "note" }, fields.note)];
}

function when(row) {
  const day = recordDay(row);
  return [day && longDay(day), row.fields.at].filter(Boolean).join(", ");
}

/** @param {Slate} slate @param {ShownRow} row */
function entry(slate, row) {
  const told = toldOf(slate.plan, row.record);
  const address = encodeURIComponent(row.record);
  const about = h("span", { class: "visually-hidden" }, ` ${title(row)}, ${when(row)}`);
  return h("li", { class: "sheet", "data-record": row.record },
    h("p", { class: "soft small" }, when(row)),
    h("h3", null, title(row)),
    facts(row, slate.sheet),
    verdictLine(told),
    h("p", { class: "word state" }, row.state),
    row.faults.length > 0 && h("ul", { class: "reasons" },
      row.faults.map(({ field, says }) => h("li", null, `${FIELDS[field] ?? field} ${says}.`.trim()))),
    row.conflict.length > 0 && h("p", { class: "small" },
      `Changed on another device too: ${row.conflict.map((name) => FIELDS[name] ?? name).join(", ")}. `
        + "The later one is shown; the other is in the history."),
    h("div", { class: "row" },
      row.kind === "dive" && !row.damaged
        && h("a", { class: "button", id: `edit-${row.record}`, href: `/boat/dive?id=${address}` }, "Edit", about),
      row.rev > 0
        && h("a", { class: "button button-quiet", href: `/history/${address}` }, "History", about.cloneNode(true)),
      h("button", { type: "button", class: "button-quiet", id: `delete-${row.record}`, click: () => drop(row) },
        "Delete", about.cloneNode(true))));
}

/** @param {ShownRow} row */
function deletedEntry(row) {
  return h("li", { "data-record": row.record },
    h("p", null, `${title(row)}, ${when(row)} `, h("span", { class: "word" }, row.state)),
    h("button", { type: "button", class: "button-quiet", id: `restore-${row.record}`, click: () => bringBack(row) },
      "Restore", h("span", { class: "visually-hidden" }, ` ${title(row)}`)));
}

/** @param {ShownRow} row */
async function drop(row) {
  if (!(await done(remove, row))) return;
  const grave = row.kind === "dive" && !row.damaged && isGrave(row.fields, (await readSlate()).sheet);
  const bar = h("div", { class: "news" },
    h("p", null, `Deleted: ${title(row)}. It can be restored below at any time.`),
    grave && signGone("undo"),
    h("button", { type: "button", id: "undo", click: () => bringBack(row) }, "Undo"));
  put(byId("undo-bar"), bar);
  byId("undo").focus();
  if (!grave) setTimeout(() => bar.remove(), UNDO_MS);
}

/** @param {ShownRow} row */
async function bringBack(row) {
  put(byId("undo-bar"));
  if (await done(restore, row)) byId(`delete-${row.record}`)?.focus();
}

/** @param {(edit: Edit) => Promise<unknown>} act @param {ShownRow} row */
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
