"""What the diver said on the boat about a day, and what a coach proposed: both can only make the day easier."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from .sentences import number

Json = Mapping[str, Any]


@dataclass
class Said:
    """The word for one day; several records that hold for it are taken together.

    `proposed` holds what coaches proposed for it, without what the diver declined.
    """

    no_diving: str | None = None
    hold: bool = False
    shallower: int = 0
    main: str | None = None
    taxing: bool = False
    not_ready: tuple[str, ...] = ()
    easy: bool = False
    proposed: tuple[Json, ...] = ()


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
    _propose(found, log)
    return found


def _propose(found: dict[int, Said], log: Sequence[Json]) -> None:
    """Take in what makes a day easier; a focus, a changed setting or a comment is for the diver to take over."""
    records = [record for record in log if record["kind"] == "proposal" and record.get("answer") != "declined"]
    for record in sorted(records, key=lambda record: (record["date"], record["id"])):
        if not (record["what"] == "easy" or (record["what"] == "cap" and record.get("depth_m") is not None)):
            continue
        fact = {"record": record["id"], "what": record["what"]}
        fact |= {name: record.get(name) for name in ("discipline", "depth_m")}
        fact |= {name: record.get(name) or "" for name in ("by", "says")}
        for n in range(number(record["date"]), number(record.get("to") or record["date"]) + 1):
            said = found.setdefault(n, Said())
            said.proposed += (fact,)


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
