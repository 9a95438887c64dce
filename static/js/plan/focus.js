// The technique focus of each discipline, how the drills went against it, and when a next one is due.
import { BOAT } from "../labels.js";

const { "focus.there": THERE = Infinity, "focus.of_last": OF_LAST = 0, "focus.days": DAYS = 0 } = BOAT.numbers ?? {};

/** A focus in words: the diver's own, or those of its cue. @param {Fields} fields */
export function focusWords({ says, cue }) {
  return says?.trim() || BOAT.cue?.[cue]?.says || cue || "";
}

/** The cues of a discipline as [code, words]. @param {string} discipline */
export function cuesOf(discipline) {
  return Object.entries(BOAT.cue ?? {}).filter(([, cue]) => cue.for.includes(discipline))
    .map(([code, { says }]) => [code, says]);
}

/**
 * The focus of a discipline on a day: the one that began last; of two on the same day the one made later. Null without
 * one.
 * @param {Pick<Slate, "rows">} slate @param {string} discipline @param {string} day @returns {ShownRow}
 */
export function focusOn({ rows }, discipline, day) {
  const begun = rows.filter((row) => row.kind === "focus" && !row.deleted && !row.damaged
    && row.fields.discipline === discipline && row.fields.from <= day);
  return begun.reduce((last, row) => (!last || isLater(row, last) ? row : last), null);
}

/** Those of the same discipline that came before this one, the newest first. @param {Pick<Slate, "rows">} slate */
export function focusesBefore({ rows }, now) {
  return rows.filter((row) => row.kind === "focus" && !row.deleted && !row.damaged
    && row.fields.discipline === now.fields.discipline && isLater(now, row))
    .sort((one, other) => (isLater(one, other) ? -1 : 1));
}

function isLater(row, last) {
  const order = ({ fields, record }) => `${fields.from} ${fields.logged_at ?? ""} ${record}`;
  return order(row) > order(last);
}

/** The drills that were dived with this focus, in the order of diving. @param {Dive[]} dives @param {string} focus */
export function drillsWith(dives, focus) {
  return dives.filter((dive) => dive.role === "drill" && dive.focus === focus);
}

/**
 * Whether a next focus is due: enough of the last filmed drills had it, on different days.
 * @param {Dive[]} dives @param {string} focus
 */
export function isLearned(dives, focus) {
  const filmed = drillsWith(dives, focus).filter((dive) => dive.filmed_by && dive.focus_rate);
  const there = filmed.slice(-OF_LAST).filter((dive) => dive.focus_rate === "there");
  return there.length >= THERE && new Set(there.map((dive) => dive.date)).size >= DAYS;
}
