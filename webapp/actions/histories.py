"""Histories: who changed what of a record, when, and what lost a conflict; and how an earlier value is put back."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any
from uuid import NAMESPACE_URL, uuid4, uuid5

from webapp import store
from webapp.actions import lighter, sync
from webapp.actions.errors import NotFound
from webapp.actions.times import stamp
from webapp.protocol.merge import DELETED
from webapp.protocol.values import Entry, Record
from webapp.rulebook.faults import Fault, Refused
from webapp.store import feeds, journal, records, users

SHORE = str(uuid5(NAMESPACE_URL, "lineslate shore pages"))  # the device id under which these pages write


LEFT = "someone who has left"


@dataclass(frozen=True)
class Step:
    """One operation on a record; `lost` names the fields whose value from here gave way to another device's.

    `author` names whose phone sent it when that was somebody else; it is empty for the diver's own.
    """

    entry: Entry
    lost: tuple[str, ...] = ()
    author: str = ""


def history(user_id: int, record: str) -> list[Step]:
    """Return every operation on this record, in the order of arrival; empty when it is not this diver's."""
    with store.reading():
        feed_id = feeds.log_feed(user_id)
        entries = journal.entries_of(feed_id, record)
        names = _names(journal.authors_of(feed_id, record), user_id)
    return [replace(step, author=names[step.entry.asked.op]) for step in _with_losses(entries)]


def _names(authors: Mapping[str, int | None], user_id: int) -> dict[str, str]:
    """Return the name of each operation's author, "" for this diver."""
    found = {one: users.get_user(one) for one in set(authors.values())}
    named = {one: LEFT if user is None else "" if one == user_id else user.name for one, user in found.items()}
    return {op: named[author] for op, author in authors.items()}


def stands(user_id: int, record: str) -> Record | None:
    """Return the record as it is now, or None when every operation on it was refused or it is not this diver's."""
    with store.reading():
        return records.get_records(feeds.log_feed(user_id), [record]).get(record)


def lighter_ones(user_id: int, now: Record | None, steps: list[Step]) -> set[tuple[str, str]]:
    """Return the values of a dive, as (operation, field), that would make its result lighter than it stands."""
    if now is None or now.kind != "dive":
        return set()
    with store.reading():
        sheet = lighter.sheet_of(user_id)
    values = {(step.entry.asked.op, name): value for step in steps for name, value in step.entry.after.items()}
    return {key for key, value in values.items() if _gets_lighter(sheet, now, {key[1]: value})}


def put_back(user_id: int, record: str, op: str, name: str, base: int, why: str, now: datetime) -> None:
    """Write the value that an earlier operation gave to a field once more: a new change like any other.

    `base` is the rev that the diver saw: what another device wrote since then is reported as a conflict. The name
    "deleted" takes a deletion back. A value that makes a dive's result lighter needs `why`. Raises NotFound, or Refused
    with every fault.
    """
    with store.transaction():
        feed_id = feeds.log_feed(user_id)
        found = records.get_records(feed_id, [record]).get(record)
        entry = journal.find_entries(feed_id, [op]).get(op)
        if found is None or entry is None or entry.asked.record != record or name not in entry.after:
            raise NotFound
        if name == lighter.REASON:
            raise NotFound  # a reason belongs to its change
        fields = {} if name == DELETED else {name: entry.after[name]}
        if found.kind == "dive" and _gets_lighter(lighter.sheet_of(user_id), found, fields):
            if not why.strip():
                raise Refused([Fault(lighter.REASON, "is missing: what was wrong with the entry?")])
            fields[lighter.REASON] = why.strip()
        asked = _operation(user_id, found, fields, min(base, found.rev), now)
        (answer,) = sync.take(user_id, SHORE, [asked], stamp(now))
        if answer["faults"]:
            raise Refused(Fault(**fault) for fault in answer["faults"])


def _gets_lighter(sheet: Mapping[str, Any] | None, now: Record, fields: Mapping[str, Any]) -> bool:
    return lighter.is_lighter(sheet, now.fields, {**now.fields, **fields})


def _operation(user_id: int, found: Record, fields: Mapping[str, Any], base: int, now: datetime) -> dict[str, Any]:
    what = {"op": str(uuid4()), "schema": 1, "kind": found.kind, "record": found.record, "action": "put"}
    counter = journal.last_counter(user_id, SHORE) + 1
    return {**what, "fields": fields, "base": base, "counter": counter, "made_at": stamp(now)}


def _with_losses(entries: list[Entry]) -> list[Step]:
    """Mark the losers: a value by the entry it lost to, a deletion that came too late by itself."""
    steps, wrote = [Step(entry) for entry in entries], dict[str, int]()
    for index, entry in enumerate(entries):
        for name in entry.conflict:
            loser = wrote.get(name, index) if name in entry.after else index
            steps[loser] = replace(steps[loser], lost=(*steps[loser].lost, name))
        wrote.update(dict.fromkeys(entry.after, index))
    return steps
