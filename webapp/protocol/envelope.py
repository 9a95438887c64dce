"""The strict check of what a phone sends: the request, and each operation in it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from ..rulebook.checks import Faults, unstorable
from .kinds import KINDS
from .values import Operation

SCHEMA = 1  # every form that was ever released is understood for good: phones come back after weeks
ACTIONS = ("put", "delete")
MOST_OPERATIONS = 100
MOST_FEEDS = 60  # of others: a coach with as many students as a long season can have
MOST_COUNT = 10**9  # far more than any diver needs, and still exact in SQLite and JavaScript
MOST_OFFSET_MIN = 24 * 60
ASKED_FIELDS = ("schema", "device", "epoch", "mark", "today", "utc_offset_min", "user", "operations", "feeds")
FEED_FIELDS = ("feed", "mark", "sheet")
OPERATION_FIELDS = frozenset(
    ("op", "schema", "kind", "record", "action", "fields", "base", "counter", "made_at", "feed")
)
UUID = re.compile(r"[0-9a-fA-F]{8}(-[0-9a-fA-F]{4}){3}-[0-9a-fA-F]{12}")
MADE_AT = re.compile(r"[0-9T:.,+Z -]{1,40}")


class TooMuch(Exception):
    """More at once than the server accepts: send it in smaller parts."""


@dataclass(frozen=True)
class Read:
    """How far a phone has read a feed of another diver, and the ladder sheet that it has of it."""

    feed: str
    mark: int
    sheet: str | None


@dataclass(frozen=True)
class Asked:
    """What a phone asks of the server: to apply operations, and to send what changed after its mark.

    `feeds` has what the phone has read of the feeds of others; None when its app does not know of any.
    """

    device: str
    epoch: str | None
    mark: int
    today: str
    utc_offset_min: int
    operations: tuple[object, ...]
    feeds: tuple[Read, ...] | None = None


def read_request(raw: object) -> Asked:
    """Return the request; raises Refused with every fault, or TooMuch. Its operations are not checked yet."""
    faults = Faults()
    plain = faults.group(raw, "", ASKED_FIELDS)
    if not isinstance(raw, Mapping):
        faults.refuse_if_any()
    asked = Asked(
        device=uuid(plain.get("device"), "device", faults),
        epoch=None if plain.get("epoch") is None else faults.text(plain.get("epoch"), "epoch", 100),
        mark=faults.number(plain.get("mark"), "mark", 0, MOST_COUNT, whole=True),
        today=faults.day(plain.get("today"), "today"),
        utc_offset_min=faults.number(
            plain.get("utc_offset_min"), "utc_offset_min", -MOST_OFFSET_MIN, MOST_OFFSET_MIN, whole=True
        ),
        operations=_operations(plain.get("operations"), faults),
        feeds=_feeds(plain.get("feeds"), faults),
    )
    _schema(plain, faults)
    faults.refuse_if_any()
    return asked


def read_operation(raw: object, device: str) -> Operation:
    """Return one operation of this device; raises Refused with every fault.

    Of its fields it is only checked that they can be stored at all: the journal holds refused ones too.
    """
    faults = Faults()
    plain = faults.group(raw, "", OPERATION_FIELDS)
    fields = plain.get("fields")
    if not isinstance(fields, Mapping):
        faults.add("fields", "must be an object")
    else:
        _check_storable(fields, faults)
    asked = Operation(
        op=uuid(plain.get("op"), "op", faults),
        device=device,
        counter=_count(plain, "counter", faults),
        kind=faults.choice(plain.get("kind"), "kind", KINDS),
        record=uuid(plain.get("record"), "record", faults),
        action=faults.choice(plain.get("action"), "action", ACTIONS),
        fields=dict(fields) if isinstance(fields, Mapping) else {},
        base=_count(plain, "base", faults),
        made_at=_made_at(plain.get("made_at"), faults),
    )
    if plain.get("feed") is not None:  # whose feed it is was decided before
        uuid(plain["feed"], "feed", faults)
    _schema(plain, faults)
    faults.refuse_if_any()
    return asked


def _check_storable(fields: Mapping[str, Any], faults: Faults) -> None:
    for name, value in fields.items():
        if not name.isascii() and unstorable(name):
            faults.add(name, "is not a known field")
        elif not _is_plain(value) and (says := unstorable(value)):
            faults.add(name, says)


def _is_plain(value: object) -> bool:
    """Tell at once of most values that they can be stored; asked a thousand times for a batch."""
    return not value or value.__class__ is int or (value.__class__ is str and value.isascii())


def _operations(raw: object, faults: Faults) -> tuple[object, ...]:
    if not isinstance(raw, list):
        faults.add("operations", "must be a list of operations")
        return ()
    if len(raw) > MOST_OPERATIONS:
        raise TooMuch(f"At most {MOST_OPERATIONS} operations at once.")
    return tuple(raw)


def _feeds(raw: object, faults: Faults) -> tuple[Read, ...] | None:
    if raw is None:
        return None
    if not isinstance(raw, list) or len(raw) > MOST_FEEDS:
        faults.add("feeds", f"must be a list of at most {MOST_FEEDS} feeds")
        return ()
    found = [(faults.group(one, f"feeds.{at}", FEED_FIELDS), f"feeds.{at}") for at, one in enumerate(raw)]
    return tuple(_feed(plain, field, faults) for plain, field in found if plain)


def _feed(plain: Mapping[str, Any], field: str, faults: Faults) -> Read:
    sheet = plain.get("sheet")
    return Read(
        feed=uuid(plain.get("feed"), f"{field}.feed", faults),
        mark=faults.number(plain.get("mark"), f"{field}.mark", 0, MOST_COUNT, whole=True),
        sheet=None if sheet is None else faults.text(sheet, f"{field}.sheet", 100),
    )


def _schema(plain: Mapping[str, Any], faults: Faults) -> None:
    schema = plain.get("schema")
    if isinstance(schema, bool) or schema != SCHEMA:
        faults.add("schema", "is not known to this server: the app on the phone may be newer; try again later")


def uuid(value: object, field: str, faults: Faults) -> Any:
    """Return a UUID as it was sent, or None after noting a fault."""
    if isinstance(value, str) and UUID.fullmatch(value):
        return value
    faults.add(field, "must be a UUID")
    return None


def _count(plain: Mapping[str, Any], field: str, faults: Faults) -> Any:
    return faults.number(plain.get(field), field, 0, MOST_COUNT, whole=True)


def _made_at(value: object, faults: Faults) -> Any:
    """Return the device's time as it was sent: a wrong clock is no reason to refuse a dive."""
    if isinstance(value, str) and MADE_AT.fullmatch(value):
        return value
    faults.add("made_at", "must be a time as ISO text")
    return None
