// Saves what was not sent as a file, for a phone that cannot send or is given away. The shore page Your data takes it
// in.
import { localDay } from "../clock.js";
import { asSent } from "../store/outbox.js";
import { h } from "../ui/dom.js";

/** Save one diver's unsent records as a file; `mark` in its name sets it apart from another diver's file. */
export function saveUnsent({ outbox, parked, rows, user, kept }, mark = "") {
  const ids = new Set([...outbox, ...parked].map((row) => row.record));
  const file = {
    app: "lineslate",
    schema: 1,
    device: kept.device ?? null,
    user: user?.id ?? null,
    operations: outbox.map(asSent),
    parked: parked.map((row) => ({ ...asSent(row), faults: row.faults })),
    records: rows.filter((row) => ids.has(row.record))
      .map(({ record, kind, fields, deleted }) => ({ record, kind, fields, deleted })),
  };
  const address = URL.createObjectURL(new Blob([JSON.stringify(file, null, 2)], { type: "application/json" }));
  h("a", { href: address, download: `lineslate-unsent-${localDay()}${mark}.json` }).click();
  setTimeout(() => URL.revokeObjectURL(address), 60_000); // the download may read it late
}
