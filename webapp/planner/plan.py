"""From what was typed to the plan: check, rules, speeds, sheet, reader."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from ..records.season import season_and_book
from ..rulebook.rulebook import Rulebook
from .cards import speeds_of
from .reader.ladder import read
from .together import sheet_of

Json = Mapping[str, Any]


def plan_of(raw: Json, log: Sequence[Json], today: str, book: Rulebook) -> dict[str, Any]:
    """Return the plan of a season as typed with a checked log; raises Refused with every fault."""
    season, own = season_and_book(raw, book)
    rules = season.changes[-1].rules if season.changes else own
    return read(sheet_of(season, own, speeds_of(log, rules)), in_order(log), today)


def in_order(log: Sequence[Json]) -> list[dict[str, Any]]:
    """Return a log file's records with their order in the file as the order of logging, where no record says it."""
    return [{**record, "logged_at": record.get("logged_at") or f"{index:06}"} for index, record in enumerate(log)]
