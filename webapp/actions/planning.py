"""The plan of a diver's active season: checked and compiled once for each season as it stands."""

import hashlib
import json
import logging
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from webapp.actions.errors import NotPlanned
from webapp.planner.cards import Speeds, speeds_of
from webapp.planner.reader import ladder
from webapp.planner.sheet import expected_s
from webapp.planner.together import sheet_of
from webapp.protocol.kinds import day_of
from webapp.protocol.written import Written, written
from webapp.records.model import Season
from webapp.records.season import season_and_book
from webapp.rulebook.faults import Refused
from webapp.rulebook.rulebook import Rulebook
from webapp.rulebook_file import read_rulebook
from webapp.store import feeds, kept_logs, meta, records, seasons
from webapp.store.values import SeasonRow
from webapp.water.times import MeanSpeed

SHEETS_KEPT = 128
# what may be raised by a season that newer rules refuse, or by an error in the planner
NOT_PLANNED = (Refused, ArithmeticError, LookupError, TypeError, ValueError, AssertionError)
log = logging.getLogger(__name__)


@dataclass(frozen=True)
class Compiled:
    """A season with its ladder sheet and the speeds that the log gives. The sheet is shared: never change it.

    It carries its text, which is as large as all else in an answer. `sheet_id` is made from what it says: a phone that
    names it need not be sent the sheet again.
    """

    row: SeasonRow
    sheet: Written
    sheet_id: str
    speeds: Speeds

    def expected_s(self, discipline: str, depth_m: float) -> int:
        """Return the seconds that a dive to any depth is expected to take, at the diver's own speed where known."""
        return expected_s(discipline, depth_m, own_book(self.row.raw), self.speeds)


@dataclass(frozen=True)
class Current(Compiled):
    """The active season with its plan as of today. The plan is shared: never change it."""

    plan: dict[str, Any]


def compiled_of(user_id: int) -> Compiled | None:
    """Return the active season with its sheet, or None; the caller has a transaction open.

    The speeds are read from the log only when a record changed since they were last asked for.
    """
    row = seasons.active_season(user_id)
    if row is None:
        return None
    raw_json = json.dumps(row.raw)
    speeds = _speeds(*log_id(user_id), raw_json)
    return Compiled(row, *_compiled(raw_json, speeds), dict(speeds))


def current_of(user_id: int, today: str) -> Current | None:
    """Return the active season as planned from the whole log, or None; the caller has the transaction open."""
    compiled = compiled_of(user_id)
    if compiled is None:
        return None
    raw_json, speeds = json.dumps(compiled.row.raw), tuple(compiled.speeds.items())
    return Current(**vars(compiled), plan=_planned(*log_id(user_id), raw_json, speeds, today))


def current_if_any(user_id: int, today: str) -> Current | None:
    """Return what `current_of` returns, and None too for a season that cannot be planned, as when rules changed."""
    try:
        return current_of(user_id, today)
    except NOT_PLANNED:
        log.exception("the active season of diver %s cannot be planned", user_id)
        return None


def not_planned(error: Exception) -> NotPlanned:
    """Return what a page says of a stored season that raised this."""
    log.error("a season cannot be planned", exc_info=error)
    return NotPlanned(error.faults if isinstance(error, Refused) else ())


def log_id(user_id: int) -> tuple[str, int, int]:
    """Return what names a log as it stands: the epoch, its feed and the last change number."""
    feed_id = feeds.log_feed(user_id)
    return meta.epoch(), feed_id, records.last_number(feed_id)


def log_in_order(user_id: int) -> list[dict[str, Any]]:
    """Return the log as the planner reads it: by date, then time of surfacing, then id."""
    return sorted(kept_logs.log_of(feeds.log_feed(user_id)), key=_order)


def checked(raw: object) -> tuple[Season, Rulebook]:
    """Return a season as typed with its own rulebook, checked once; raises Refused with every fault."""
    return _checked(json.dumps(raw))


def latest(raw: object) -> tuple[Season, Rulebook]:
    """Return a season as typed with all its changes made, and its rules then; raises Refused with every fault."""
    return _latest(json.dumps(raw))


def checked_on(raw: object, day: str) -> tuple[Season, Rulebook]:
    """Return a season with its own rulebook as both are on this day; raises Refused with every fault."""
    season, book = checked(raw)
    begun = [change for change in season.changes if change.from_day <= day]
    return (begun[-1].season, begun[-1].rules) if begun else (season, book)


def own_book(raw: dict[str, Any]) -> Rulebook:
    """Return the rulebook with the season's own rules; raises Refused with every fault of the season."""
    return latest(raw)[1]


def check_together(raw: object) -> None:
    """Raise Refused with every fault of a season as typed, also when its rules cannot be calculated together."""
    raw_json = json.dumps(raw)
    _compiled(raw_json, _speeds_of((), raw_json))  # as with an empty log: a season's first page finds it compiled


def plan_of(raw: object, log: Sequence[dict[str, Any]], today: str) -> dict[str, Any]:
    """Return the plan of a season that is not saved; raises Refused with every fault."""
    raw_json = json.dumps(raw)
    return ladder.read(_compiled(raw_json, _speeds_of(log, raw_json))[0], log, today)


def waits(plan: Mapping[str, Any]) -> bool:
    """Tell whether a plan waits for a doctor's clearance: nothing of it is compared then."""
    return bool(plan["stand_down"] and plan["stand_down"]["needs_clearance"])


def sheet_for(raw: object, log: Sequence[dict[str, Any]]) -> dict[str, Any]:
    """Return the shared sheet of a season as typed, with the speeds of a log; raises Refused with every fault."""
    raw_json = json.dumps(raw)
    return _compiled(raw_json, _speeds_of(log, raw_json))[0]


@lru_cache(maxsize=SHEETS_KEPT)
def _checked(raw_json: str) -> tuple[Season, Rulebook]:
    return season_and_book(json.loads(raw_json), read_rulebook())


@lru_cache(maxsize=SHEETS_KEPT)
def _planned(
    epoch: str, feed_id: int, last_number: int, raw_json: str, speeds: tuple[tuple[str, MeanSpeed], ...], today: str
) -> dict[str, Any]:
    """Return the plan of a season from a log as it stands: a list that many buddies ask for is planned once."""
    return ladder.read(_compiled(raw_json, speeds)[0], kept_logs.log_of(feed_id), today)


@lru_cache(maxsize=SHEETS_KEPT)
def _speeds(epoch: str, feed_id: int, last_number: int, raw_json: str) -> tuple[tuple[str, MeanSpeed], ...]:
    return _speeds_of(kept_logs.log_of(feed_id), raw_json)


def _speeds_of(log: Sequence[dict[str, Any]], raw_json: str) -> tuple[tuple[str, MeanSpeed], ...]:
    return tuple(speeds_of(log, _latest(raw_json)[1]).items())


def _latest(raw_json: str) -> tuple[Season, Rulebook]:
    season, book = _checked(raw_json)
    return (season.changes[-1].season, season.changes[-1].rules) if season.changes else (season, book)


@lru_cache(maxsize=SHEETS_KEPT)
def _compiled(raw_json: str, speeds: tuple[tuple[str, MeanSpeed], ...]) -> tuple[Written, str]:
    sheet = written(sheet_of(*_checked(raw_json), dict(speeds)))
    return sheet, hashlib.sha256(sheet.text.encode()).hexdigest()


def _order(record: dict[str, Any]) -> tuple[str, str, str]:
    return day_of(record), record.get("at") or "", record["id"]
