"""What the store hands out: frozen values, never rows. Times are ISO text in UTC, `2030-06-01T08:00:00Z`."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from webapp.rulebook.faults import Fault


@dataclass(frozen=True)
class User:
    """A diver with an account; the offset of their clock from UTC as their phone last told it."""

    id: int
    name: str
    created_at: str
    utc_offset_min: int


@dataclass(frozen=True)
class SignIn:
    """A sign-in of one browser."""

    id: int
    user_id: int
    created_at: str
    seen_at: str


@dataclass(frozen=True)
class SeasonRow:
    """A season: `raw` is its JSON as the diver gave it."""

    id: int
    name: str
    active: bool
    raw: dict[str, Any]
    changed_at: str
    deleted: bool = False


@dataclass(frozen=True)
class Link:
    """A link given to a buddy, for good or until a moment; the token itself is not kept."""

    id: int
    user_id: int
    label: str
    made_at: str
    seen_at: str | None
    expires_at: str | None = None


@dataclass(frozen=True)
class Record:
    """A dive or clearance as it stands.

    `revs` has for each field, and for "deleted", the rev that wrote it; `writers` for each of those revs, as text,
    the device that made it. `seq` is the change number of its last change.
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
    """A record as the feed of changes tells of it."""

    seq: int
    kind: str
    record: str
    rev: int
    deleted: bool
    fields: Mapping[str, Any]


@dataclass(frozen=True)
class Operation:
    """What a device wants done to one record; `base` is the rev it was made on, `counter` the device's own order."""

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
