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
    return read(sheet_of(season, own, speeds_of(log, own)), log, today)
