// The server leaves the sheet out when this phone has it. If another tab has stored a newer one since, that one stays.

/** @param {Snapshot} snapshot @param {Snapshot} before @returns {Snapshot} */
export function withSheet(snapshot, before) {
  if ("sheet" in snapshot) return snapshot;
  return before?.sheet_id === snapshot.sheet_id ? { ...snapshot, sheet: before.sheet } : before;
}
