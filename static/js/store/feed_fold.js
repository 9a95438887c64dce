// How the records of a feed are shown: what the server or a file told last of each, and on it the changes that the
// server has not named yet. Pure: rows in, rows out. Two phones that hold the same changes show the same.

/** Changes in the order in which they were made; those of one second by their number, then by their id. */
export function inOrderMade(ops) {
  const order = ({ made_at, n, op }) => `${made_at} ${String(n).padStart(6, "0")} ${op}`;
  return [...ops].sort((a, b) => (order(a) < order(b) ? -1 : 1));
}

/**
 * Each record of a feed, the deleted ones too.
 * @param {FeedRow[]} rows @param {FeedOp[]} ops @returns {FeedRecord[]}
 */
export function shownRecords(rows, ops) {
  const shown = new Map(rows.map((row) => [row.record, fromRow(row)]));
  for (const op of inOrderMade(ops)) {
    const before = shown.get(op.record);
    if (counts(op, before)) shown.set(op.record, changed(before, op));
  }
  return [...shown.values()];
}

// The newer of what the server and a file told: the number of a version is the server's, and only it gives them.
/** @param {FeedRow} row @returns {FeedRecord} */
function fromRow({ record, kind, known, told }) {
  const last = (told?.rev ?? 0) > (known?.rev ?? 0) ? told : known;
  const { fields = {}, deleted = false, rev = 0 } = last ?? {};
  return { record, kind, fields, deleted, rev, waiting: false };
}

const isNothing = (value) => value === null || value === "" || (Array.isArray(value) && value.length === 0);

/**
 * A dive that somebody else has logged as well: what is not said takes nothing away, and no sign goes. The server
 * merges alike.
 * @param {Fields} before @param {Fields} fields @returns {Fields}
 */
export function joined(before, fields) {
  const said = Object.entries(fields).filter(([name, value]) => !(isNothing(value) && name in before));
  const signs = [...new Set([...(before.signs ?? []), ...(fields.signs ?? [])])];
  return { ...before, ...Object.fromEntries(said), signs };
}

// A stored change counts until the version that contains it has come.
function counts({ state, rev }, before) {
  return state === "waiting" || (state === "stored" && (rev ?? 0) > (before?.rev ?? 0));
}

function changed(before, { record, kind, action, fields, state }) {
  return {
    record, kind, rev: before?.rev ?? 0,
    fields: { ...before?.fields, ...(action === "put" ? fields : {}) },
    deleted: action === "delete",
    waiting: Boolean(before?.waiting) || state === "waiting",
  };
}
