// What people call the codes in records and plans. The list is the server's, so that there is only one: a file of its
// own for the boat pages; a buddy's page carries the few that it needs.
const carried = () => JSON.parse(document.querySelector("meta[name=labels]")?.getAttribute("content") ?? "{}");
const LABELS = globalThis.LABELS ?? carried();

export const DISCIPLINES = LABELS.disciplines ?? {};
export const ROLES = LABELS.roles ?? {};
export const GOALS = LABELS.goals ?? {};
export const DAYS = LABELS.days ?? {};
export const VERDICTS = LABELS.verdicts ?? {};
/** What the boat pages ask beside the dive: tables of codes with their words, and limits. */
export const BOAT = LABELS.boat ?? {};
const KINDS = LABELS.kinds ?? {};

/** The kinds of records that this app can read, in one text. */
export const KNOWN_KINDS = Object.keys(KINDS).sort().join(",");

/** The labels of every field of every kind of record; where two kinds share a name, that of the first, the dive. */
export const FIELDS = Object.assign({}, ...Object.values(KINDS).reverse().map((kind) => kind.fields));

/** What a kind of record is called; a newer server may know more kinds than this page. */
export function kindLabel(kind) {
  return KINDS[kind]?.label ?? kind;
}

/** The day that a record belongs to, or null when its fields do not say. */
export function recordDay({ kind, fields }) {
  const day = fields?.[KINDS[kind]?.day ?? "date"];
  return typeof day === "string" ? day : null;
}

/** Whether records of this kind belong to no day, like a dive site. */
export function hasNoDay(kind) {
  return KINDS[kind]?.day === "";
}

/** What tells a record from others of its day: a dive's time and discipline, a doctor's name. */
export function recordHeading({ kind, fields }) {
  return (KINDS[kind]?.heading ?? []).map((name) => fields[name]).filter(Boolean).join(", ");
}
