"""What is sent and what is kept of it: operations, records, changes and journal entries, all frozen."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from ..rulebook.faults import Fault


@dataclass(frozen=True)
class Record:
    """A dive or clearance in its present state.

    `revs` maps each field, and "deleted", to the rev that wrote it; `writers` maps each of those revs, as text, to the
    device that made it. `seq` is the change number of its last change.
    """

    kind: str
    record: str
    fields: Mapping[str, Any]
    revs: Mapping[str, int]
    writers: Mapping[str, str]
    rev: int
    deleted: bool
    seq: int = 0


@dataclass(frozen=True)
class Change:
    """A record in the feed of changes."""

    seq: int
    kind: str
    record: str
    rev: int
    deleted: bool
    fields: Mapping[str, Any]


@dataclass(frozen=True)
class Operation:
    """What a device asks to do to one record; `base` is the rev it is based on, `counter` the device's own order."""

    op: str
    device: str
    counter: int
    kind: str
    record: str
    action: str
    fields: Mapping[str, Any]
    base: int
    made_at: str


@dataclass(frozen=True)
class Entry:
    """One operation in the journal: what was asked, what it changed, what was answered."""

    asked: Operation
    received_at: str
    status: str
    rev: int
    before: Mapping[str, Any]
    after: Mapping[str, Any]
    conflict: tuple[str, ...] = ()
    faults: tuple[Fault, ...] = ()
