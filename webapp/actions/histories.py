"""Histories: who changed what of a record, when, and what lost a conflict."""

from dataclasses import dataclass, replace

from webapp import store
from webapp.store import journal
from webapp.store.values import Entry


@dataclass(frozen=True)
class Step:
    """One operation on a record; `lost` names the fields whose value from here gave way to another device's."""

    entry: Entry
    lost: tuple[str, ...] = ()


def history(user_id: int, record: str) -> list[Step]:
    """Return everything that was asked for this record, in the order of arrival; empty when it is not this diver's."""
    with store.reading():
        entries = journal.entries_of(user_id, record)
    return _with_losses(entries)


def _with_losses(entries: list[Entry]) -> list[Step]:
    """Mark the losers: a value by the entry it lost to, a deletion that came too late by itself."""
    steps, wrote = [Step(entry) for entry in entries], dict[str, int]()
    for at, entry in enumerate(entries):
        for name in entry.conflict:
            loser = wrote.get(name, at) if name in entry.after else at
            steps[loser] = replace(steps[loser], lost=(*steps[loser].lost, name))
        wrote.update(dict.fromkeys(entry.after, at))
    return steps
