// After the server was restored from a backup: what it lacks is sent again.
import { whenAll, write } from "../store/db.js";
import { STORES, keyOf } from "../store/keys.js";
import { operation } from "../store/outbox.js";
import { isOf } from "../store/rows.js";
import { shown } from "./fold.js";

/**
 * Queue what a restored server lacks, once its whole feed was read. Resolves to the number of records.
 * @param {number} id
 * @returns {Promise<number>}
 */
export function offerAgain(id) {
  return write(STORES, ({ records, outbox, parked, kept }) => {
    let offered = 0;
    const requests = {
      rows: records.getAll(),
      waiting: outbox.getAll(),
      parked: parked.getAll(),
      feed: kept.get(keyOf.feed(id)),
    };
    whenAll(requests, (found) => {
      if (!found.feed?.offering) return;
      const firsts = new Map(found.waiting.toReversed().map((operation) => [operation.record, operation]));
      const refused = new Set(found.parked.map(({ record }) => record));
      for (const { offer, ...row } of found.rows.filter((each) => each.offer && isOf(id, each))) {
        const lacks = lacking(offer, row.known);
        const first = firsts.get(row.record);
        const pending = lacks || first || refused.has(row.record);
        // an edit that waits carries the missing fields too: a part of a dive alone would be refused
        if (lacks && first?.action === "put") outbox.put({ ...first, fields: { ...lacks.fields, ...first.fields } });
        else if (lacks && !first) outbox.add(operation({ ...row, rev: lacks.base }, lacks));
        offered += lacks && !first ? 1 : 0;
        records.put(pending ? row : shown(row));
      }
      kept.put({ ...found.feed, offering: false }, keyOf.feed(id));
    });
    return () => offered;
  });
}

// The change that the server lacks; null when the server is ahead. The same rev with other content means two histories:
// then base is one less, so that the difference shows as a conflict and neither value is lost silently.
/** @param {Known} offer @param {Known} known */
function lacking(offer, known) {
  if (!known) return offer.deleted ? null : { action: "put", fields: offer.fields, base: offer.rev };
  if (known.rev > offer.rev) return null;
  const base = known.rev < offer.rev ? offer.rev : offer.rev - 1;
  if (offer.deleted) return known.deleted ? null : { action: "delete", fields: {}, base };
  const there = known.deleted ? {} : known.fields;
  const changed = Object.entries(offer.fields)
    .filter(([name, value]) => JSON.stringify(value) !== JSON.stringify(there[name]));
  return changed.length ? { action: "put", fields: Object.fromEntries(changed), base } : null;
}
