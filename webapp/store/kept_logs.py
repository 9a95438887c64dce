"""Whole logs kept in memory, brought up to date by what changed: reading twenty thousand dives takes a while.

A kept log is named by the file's epoch and the feed's last change number. Only what is committed is kept: inside a
writing transaction the log is read from the file.
"""

from collections import OrderedDict
from threading import Lock
from typing import Any, NamedTuple

from webapp.store import meta, records
from webapp.store.sqlite.database import is_writing

MOST_RECORDS = 60_000  # of all divers together: about 100 MB
Dives = dict[str, dict[str, Any]]  # by id


class Kept(NamedTuple):
    """A feed's records as they were after this change of this file."""

    epoch: str
    number: int
    dives: Dives


class KeptLogs:
    """The logs last asked for, the latest at the end."""

    def __init__(self, most_records: int = MOST_RECORDS) -> None:
        self._kept: OrderedDict[int, Kept] = OrderedDict()
        self._lock, self._most_records, self._held = Lock(), most_records, 0

    def log_of(self, feed_id: int) -> list[dict[str, Any]]:
        """Return what `records.whole_log` returns; the dives are shared, so nobody may change them."""
        if is_writing():
            return records.whole_log(feed_id)
        epoch, number = meta.epoch(), records.last_number(feed_id)
        kept = self._kept.get(feed_id)
        if kept is None or kept.epoch != epoch or kept.number > number:
            kept = Kept(epoch, number, {dive["id"]: dive for dive in records.whole_log(feed_id)})
        elif kept.number < number:
            kept = Kept(epoch, number, _brought_up(feed_id, kept))
        self._keep(feed_id, kept)
        return list(kept.dives.values())

    def _keep(self, feed_id: int, kept: Kept) -> None:
        with self._lock:
            before = self._kept.pop(feed_id, None)
            self._kept[feed_id] = kept
            self._held += len(kept.dives) - (len(before.dives) if before else 0)
            while self._held > self._most_records:
                self._held -= len(self._kept.popitem(last=False)[1].dives)


def _brought_up(feed_id: int, kept: Kept) -> Dives:
    """Return a copy with the changes since; the kept one may be in use in another thread."""
    dives = dict(kept.dives)
    for change in records.changes(feed_id, kept.number, most=-1):
        dives.pop(change.record, None)
        if not change.deleted:
            dives[change.record] = {**change.fields, "id": change.record, "kind": change.kind}
    return dives


log_of = KeptLogs().log_of
