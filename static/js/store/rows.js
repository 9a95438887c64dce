// Questions about rows of the phone's storage: is a row whole, and whose is it?

/**
 * Whether a row can be sent at all. A row that a failing disk has damaged would wait for ever: no answer can name it.
 * @param {Operation} row
 */
export function isWhole({ op, kind, record, action, fields }) {
  return [op, kind, record, action].every((value) => typeof value === "string") && isObject(fields);
}

/** Whether a value is a plain object. */
export function isObject(value) {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

/**
 * Whether a row belongs to this diver. A row without a diver was saved before the first sign-in.
 * @param {number} id
 * @param {{ user?: number }} row
 */
export function isOf(id, row) {
  return (row.user ?? null) === null || row.user === id;
}
