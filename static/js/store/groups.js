// Rows in groups, in one pass: a long log of one day must not be copied for each of its rows.

/**
 * The rows by the name that each of them has, in their order.
 * @template One, Name
 * @param {One[]} rows
 * @param {(row: One) => Name} nameOf
 * @returns {Map<Name, One[]>}
 */
export function grouped(rows, nameOf) {
  const groups = new Map();
  for (const row of rows) {
    const group = groups.get(nameOf(row));
    if (group) group.push(row);
    else groups.set(nameOf(row), [row]);
  }
  return groups;
}
