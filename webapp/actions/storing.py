"""Storing one batch of operations in one feed: phones, files and the shore's own pages all come through here."""

from collections.abc import Iterable
from typing import Any

from webapp.protocol.batch import MOST_RECORDS, Answer, Decided, Existing, decide, read_all, refused
from webapp.protocol.echo import as_sent
from webapp.protocol.envelope import MOST_OPERATIONS
from webapp.protocol.kinds import KINDS, LOG, check_record
from webapp.protocol.values import Operation
from webapp.rulebook.faults import Fault
from webapp.rulebook_file import read_rulebook
from webapp.store import journal, records

ELSEWHERE = Fault("kind", "is not one that belongs here: a crew's list and a diver's log are kept apart")


def store_batch(
    feed_id: int,
    author_id: int,
    device: str,
    operations: Iterable[object],
    at: str,
    read_to: int,
    feed: str = LOG,
) -> Decided:
    """Look up what exists already, decide each operation, write the result; the caller has the transaction open.

    `feed` is the kind of the feed: a record that belongs in another kind of feed is refused.
    `read_to` is the last change of this feed that the phone has read, 0 when that does not matter.
    """
    batch = [_placed(one, feed) for one in read_all(operations, device)]
    if not batch:
        return Decided()
    existing = _find_existing(feed_id, author_id, device, [one for one in batch if isinstance(one, Operation)])
    decided = decide(batch, existing, at, check)
    texts = journal.add_entries(feed_id, author_id, decided.entries)
    if decided.records:
        records.put_records(feed_id, list(decided.records.values()), texts)
    if not existing.went_back:
        decided.as_sent = as_sent(existing.records, decided.entries, decided.records, read_to)
    return decided


def _placed(one: Operation | Answer, feed: str) -> Operation | Answer:
    """Return an operation as it is, or the answer that refuses it when its record belongs in another kind of feed."""
    if isinstance(one, Operation) and KINDS[one.kind].feed != feed:
        return refused({"op": one.op}, ELSEWHERE)
    return one


def check(kind: str, fields: dict[str, Any]) -> dict[str, Any]:
    """Return the checked fields of a record of this kind; raises Refused with every fault."""
    return check_record(kind, fields, read_rulebook())


def _find_existing(feed_id: int, author_id: int, device: str, batch: list[Operation]) -> Existing:
    answered = journal.find_entries(feed_id, [one.op for one in batch])
    new = [one for one in batch if one.op not in answered]
    if not new:
        return Existing({}, answered)
    names = {one.record for one in new}
    went_back = journal.is_counter_used(author_id, device, [one.counter for one in new])
    found = records.get_records(feed_id, names)
    later = journal.later_operations(feed_id, device, min(one.counter for one in new), found) if found else []
    return Existing(found, answered, later, _room(feed_id), went_back)


def _room(feed_id: int) -> int:
    """Return how many new records there is room for; counted only near the limit, as counting is slow."""
    if records.last_number(feed_id) < MOST_RECORDS - MOST_OPERATIONS:  # each record has a change number of its own
        return MOST_OPERATIONS
    return MOST_RECORDS - records.count_records(feed_id)
