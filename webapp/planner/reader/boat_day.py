"""What the diver said on the boat about a day: it can only make the day easier."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from .sentences import number

Json = Mapping[str, Any]


@dataclass
class Said:
    """The word for one day; several records that hold for it are taken together."""

    no_diving: str | None = None
    hold: bool = False
    shallower: int = 0
    main: str | None = None
    taxing: bool = False
    not_ready: tuple[str, ...] = ()
    easy: bool = False


NOTHING = Said()


def said_by_day(log: Sequence[Json]) -> dict[int, Said]:
    """Return what was said, by day number."""
    found: dict[int, Said] = {}
    records = [record for record in log if record["kind"] == "day"]
    for record in sorted(records, key=lambda record: (record["date"], record["id"])):
        first = number(record["date"])
        last = number(record.get("to") or record["date"])
        for n in range(first, last + 1):
            _add(found.setdefault(n, Said()), record)
        _wake(found.setdefault(first, Said()), record)
    return found


def _add(said: Said, record: Json) -> None:
    said.no_diving = record.get("no_diving") or said.no_diving
    said.hold = said.hold or bool(record.get("hold"))
    said.shallower = max(said.shallower, record.get("shallower") or 0)
    said.main = record.get("main") or said.main
    said.taxing = said.taxing or bool(record.get("taxing"))


def _wake(said: Said, record: Json) -> None:
    """Take in how the diver felt in the morning: of this day only, however long the rest of the word holds."""
    said.not_ready += tuple(code for code in record.get("not_ready") or () if code not in said.not_ready)
    said.easy = said.easy or bool(record.get("easy"))
