"""The merge: how one operation changes one record. Pure: nothing is read or written here.

Fields are merged one by one. A field that another device wrote after the rev an edit was based on is in conflict: the
later arrival shows, the other stays in the journal. A device is never in conflict with itself: an operation that
arrives after a later one of its device changes nothing that the later one wrote. An edit beats a deletion in either
order. When two phones make the same record before they meet, what one of them does not say takes nothing from the
other, and no sign goes: whoever lost consciousness may not know it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Set
from functools import lru_cache
from typing import Any, NamedTuple

from .kinds import KINDS
from .values import Operation, Record

NOTHING: tuple[Any, ...] = (None, "", [])  # where nothing was said
DELETED = "deleted"  # not a field, but it has a rev of its own, like the fields

Check = Callable[[str, dict[str, Any]], dict[str, Any]]


class Outcome(NamedTuple):
    """The record after an operation, and what the operation changed in it."""

    record: Record
    before: Mapping[str, Any]
    after: Mapping[str, Any]
    conflict: tuple[str, ...] = ()


def merge(known: Record | None, asked: Operation, later: Set[str], check: Check) -> Outcome:
    """Return the record after this operation; raises what `check` raises when the result is not acceptable.

    `later` has the names that the same device wrote in this record by operations that it made after this one.
    """
    record = known or Record(asked.kind, asked.record, {}, {}, {}, 0, False)
    return _delete(record, asked, later) if asked.action == "delete" else _put(record, asked, later, check)


def _put(record: Record, asked: Operation, later: Set[str], check: Check) -> Outcome:
    said = {**asked.fields, **_joined(record, asked)} if _made_apart(record, asked) else asked.fields
    checked = check(asked.kind, {**record.fields, **said})
    if checked and not record.rev and not later:
        return _made(asked, checked)
    after = _differing(record, checked, later)
    if record.deleted and DELETED not in later:
        after[DELETED] = False
    said_so = (name for name in after if name in asked.fields or name == DELETED)
    return _changed(record, asked, after, tuple(_unseen(record, asked, said_so)))


def _made(asked: Operation, fields: dict[str, Any]) -> Outcome:
    """Return a new record: most operations of a batch make one."""
    rev = asked.base + 1
    revs = _all_from(rev, *fields)
    return Outcome(Record(asked.kind, asked.record, fields, revs, {str(rev): asked.device}, rev, False), {}, fields)


@lru_cache(maxsize=64)
def _all_from(rev: int, *names: str) -> Mapping[str, int]:
    """Return the revs of a record whose fields all come from one rev; records with the same fields share them."""
    return dict.fromkeys(names, rev)


def _differing(record: Record, checked: dict[str, Any], later: Set[str]) -> dict[str, Any]:
    """Return what an operation changes, but nothing that a later operation wrote."""
    had = record.fields
    return {
        name: value for name, value in checked.items() if name not in later and (name not in had or had[name] != value)
    }


def _made_apart(record: Record, asked: Operation) -> bool:
    """Tell whether this makes a record that somebody else has made meanwhile; an edit does not say the day again."""
    if not record.rev:
        return False
    kind = KINDS[asked.kind]
    is_new = asked.base == 0 and bool(kind.joined) and kind.day in asked.fields
    author = record.fields.get("logged_by")  # a phone also sends what another has told it
    is_other = asked.device not in record.writers.values() or asked.fields.get("logged_by", author) != author
    return is_new and is_other


def _joined(record: Record, asked: Operation) -> dict[str, Any]:
    """Return what stays as it was where nothing is said, and lists with what both say."""
    silent = {name: record.fields.get(name, value) for name, value in asked.fields.items() if value in NOTHING}
    both = {
        name: [*record.fields[name], *asked.fields[name]]
        for name in KINDS[asked.kind].joined
        if isinstance(record.fields.get(name), list) and isinstance(asked.fields.get(name), list)
    }
    return {**silent, **both}


def _delete(record: Record, asked: Operation, later: Set[str]) -> Outcome:
    if record.deleted or DELETED in later:
        return Outcome(record, {}, {})
    if _unseen(record, asked, record.revs):
        return Outcome(record, {}, {}, (DELETED,))
    return _changed(record, asked, {DELETED: True}, ())


def _unseen(record: Record, asked: Operation, names: Iterable[str]) -> list[str]:
    """Return what of these another device wrote after the rev that the operation was based on."""
    if record.rev <= asked.base:  # as of most operations: nothing was written since
        return []
    revs = {name: record.revs.get(name, 0) for name in names}
    return [name for name, rev in revs.items() if rev > asked.base and record.writers[str(rev)] != asked.device]


def _changed(record: Record, asked: Operation, after: Mapping[str, Any], conflict: tuple[str, ...]) -> Outcome:
    if not after:
        return Outcome(record, {}, {})
    rev = max(record.rev, asked.base) + 1  # base is ahead when an older backup was restored: no rev is used twice
    revs = {**record.revs, **dict.fromkeys(after, rev)}
    writers = _writers({**record.writers, str(rev): asked.device}, revs)
    fields = {**record.fields, **after}
    fields.pop(DELETED, None)
    before = _before(record, after)
    deleted = bool(after.get(DELETED, record.deleted))
    return Outcome(Record(asked.kind, record.record, fields, revs, writers, rev, deleted), before, after, conflict)


def _writers(known: dict[str, str], revs: Mapping[str, int]) -> dict[str, str]:
    """Return those of the known revs that some field still is from, with the device that made each."""
    if len(known) == 1:  # the record is new
        return known
    return {text: known[text] for text in sorted(map(str, set(revs.values())))}


def _before(record: Record, names: Iterable[str]) -> dict[str, Any]:
    """Return what each of these was, as far as the record had it."""
    if not record.rev:
        return {}
    had = {**record.fields, DELETED: record.deleted}
    return {name: had[name] for name in names if name in had}
