"""The plan of a diver's active season, compiled once for each season as it stands."""

import hashlib
import json
import logging
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from webapp.planner import plan
from webapp.planner.cards import speeds_of
from webapp.planner.reader import ladder
from webapp.protocol.kinds import day_of
from webapp.records.season import book_of, check_season
from webapp.rulebook.faults import Refused
from webapp.rulebook.rulebook import Rulebook
from webapp.rulebook_file import read_rulebook
from webapp.store import records, seasons
from webapp.store.values import SeasonRow
from webapp.water.times import MeanSpeed

SHEETS_KEPT = 128
# what a season that newer rules refuse, or an error in the planner, may raise
NOT_PLANNED = (Refused, ArithmeticError, LookupError, TypeError, ValueError, AssertionError)
log = logging.getLogger(__name__)


@dataclass(frozen=True)
class Current:
    """The active season with its ladder sheet, and its plan as of today. The sheet is shared: never change it.

    `sheet_id` is made from what the sheet says: a phone that names it need not be sent the sheet again.
    """

    row: SeasonRow
    sheet: dict[str, Any]
    sheet_id: str
    plan: dict[str, Any]


def current_of(user_id: int, today: str) -> Current | None:
    """Return the active season as planned from the whole log, or None; the caller has the transaction open."""
    row = seasons.active_season(user_id)
    if row is None:
        return None
    dives = records.whole_log(user_id)  # in no order: the reader sorts what it reads
    sheet, sheet_id = _sheet_of(row.raw, dives)
    return Current(row, sheet, sheet_id, ladder.read(sheet, dives, today))


def current_if_any(user_id: int, today: str) -> Current | None:
    """Return what `current_of` returns, and None too for a season that cannot be planned, as when rules changed."""
    try:
        return current_of(user_id, today)
    except NOT_PLANNED:
        log.exception("the active season of diver %s cannot be planned", user_id)
        return None


def log_in_order(user_id: int) -> list[dict[str, Any]]:
    """Return the log as the planner reads it: by date, then time of surfacing, then id."""
    return sorted(records.whole_log(user_id), key=_order)


def sheet_of(raw: dict[str, Any], log: Sequence[dict[str, Any]] = ()) -> dict[str, Any]:
    """Return the ladder sheet of a season, with the speeds of this log; raises Refused with every fault."""
    return _sheet_of(raw, log)[0]


def own_book(raw: dict[str, Any]) -> Rulebook:
    """Return the rulebook with the season's own rules."""
    return book_of(raw, read_rulebook())


def plan_of(raw: object, log: Sequence[dict[str, Any]], today: str) -> dict[str, Any]:
    """Return the plan of a season that is not saved; raises Refused with every fault."""
    check_season(raw, read_rulebook())
    assert isinstance(raw, dict)  # noqa: S101 - the check saw to it
    return plan.plan_of(raw, log, today, read_rulebook())


def _sheet_of(raw: dict[str, Any], log: Sequence[dict[str, Any]]) -> tuple[dict[str, Any], str]:
    raw_json = json.dumps(raw)
    return _compiled(raw_json, tuple(speeds_of(log, _checked_book(raw_json)).items()))


@lru_cache(maxsize=SHEETS_KEPT)
def _checked_book(raw_json: str) -> Rulebook:
    """Return the season's own rulebook once the whole season was checked: its rules alone would hide other faults."""
    raw = json.loads(raw_json)
    check_season(raw, read_rulebook())
    return own_book(raw)


@lru_cache(maxsize=SHEETS_KEPT)
def _compiled(raw_json: str, speeds: tuple[tuple[str, MeanSpeed], ...]) -> tuple[dict[str, Any], str]:
    sheet = plan.sheet_of(json.loads(raw_json), read_rulebook(), dict(speeds))
    return sheet, hashlib.sha256(json.dumps(sheet).encode()).hexdigest()


def _order(record: dict[str, Any]) -> tuple[str, str, str]:
    return day_of(record), record.get("at") or "", record["id"]
