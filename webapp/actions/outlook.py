"""The outlook of a diver: gathered in one reading, calculated after it, kept for as long as the log stays as it is."""

import hashlib
import json
import logging
from collections.abc import Sequence
from datetime import datetime
from functools import lru_cache
from typing import Any

from webapp import store
from webapp.actions import access, planning
from webapp.actions.errors import NotFound
from webapp.actions.times import stamp
from webapp.forecast.forecast import forecast_of
from webapp.planner.reader import ladder
from webapp.readings.bests import bests_of
from webapp.readings.limits import limits_of
from webapp.readings.progress import progress_of
from webapp.readings.review import reviews_of
from webapp.readings.training_load import load_of
from webapp.rulebook.rulebook import Rulebook
from webapp.rulebook_file import read_rulebook
from webapp.store import seasons

FORMAT = 1
KEPT = 64
Json = dict[str, Any]
log = logging.getLogger(__name__)


def outlook_of(user_id: int, today: str, now: datetime, *, is_own: bool = True) -> Json:
    """Return the outlook as JSON, with an `id` that stays the same while nothing that it is made from changes.

    No write waits for the calculation: readers do not stop a writer. Of another diver (`is_own` False)
    the load is left out: it is made from what only its diver sees.
    """
    with store.reading():
        found = json.loads(_outlook(planning.log_id(user_id), _seasons_json(user_id), user_id, today))
    if not is_own:
        found["load"] = {**found["load"], "weeks": [], "says": ["Only its diver sees the load."]}
    found["id"] = hashlib.sha256(json.dumps(found, sort_keys=True).encode()).hexdigest()[:32]
    return {**found, "made_at": stamp(now)}


def outlook_of_feed(user_id: int, feed: str, today: str, now: datetime) -> Json:
    """Return the outlook of a log that somebody shares; raises NotFound where it is not open to this diver."""
    with store.reading():
        granted = access.granted(user_id, feed)
    if granted.is_crew or not granted.may(access.LOG):
        raise NotFound
    return outlook_of(granted.feed.owner_id, today, now, is_own=granted.is_own)


def _seasons_json(user_id: int) -> str:
    rows = seasons.list_seasons(user_id)
    return json.dumps([{"name": row.name, "raw": row.raw, "is_active": row.active} for row in rows])


@lru_cache(maxsize=KEPT)
def _outlook(log_id: tuple[str, int, int], seasons_json: str, user_id: int, today: str) -> str:
    """Return the outlook as text: it is kept, and must not be changed by who gets it."""
    rows, records = json.loads(seasons_json), planning.log_in_order(user_id)
    active = next((row for row in rows if row["is_active"]), None)
    spans = [
        {"name": row["name"], **{key: row["raw"].get(key) for key in ("first_day", "last_day")},
         "is_active": row["is_active"]}
        for row in rows if row["raw"].get("first_day") and row["raw"].get("last_day")
    ]  # fmt: skip
    sheet, plan, book = _planned(active, records, today)
    words = book.texts["outlook"]
    whole: Json = {
        "format": FORMAT, "today": today, "cautions": words["cautions"],
        "season": active and {"name": active["name"], **{key: active["raw"][key] for key in ("first_day", "last_day")}},
        "limits": limits_of(records, book), "load": load_of(records, today, book),
        "bests": bests_of(records, book, spans),
    }  # fmt: skip
    if sheet is None or plan is None:
        why = words["none_planned" if active else "none_season"]
        return json.dumps({**whole, "forecast": {"none_because": why}, "progress": {"disciplines": {}}, "reviews": []})
    whole |= {
        "forecast": _forecast(sheet, records, today, plan, book),
        "progress": progress_of(spans, plan, records, book, today),
        "reviews": reviews_of(sheet, plan, records, book, today),
    }
    return json.dumps(whole)


def _forecast(sheet: Json, records: Sequence[Json], today: str, plan: Json, book: Rulebook) -> Json:
    try:
        return forecast_of(sheet, records, today, plan, book)
    except planning.NOT_PLANNED:
        log.exception("a season cannot be forecast")
        return {"none_because": book.texts["outlook"]["none_planned"]}


def _planned(active: Json | None, records: Sequence[Json], today: str) -> tuple[Json | None, Json | None, Rulebook]:
    """Return sheet, plan and rules of the active season; neither sheet nor plan when it cannot be calculated."""
    if active is None:
        return None, None, read_rulebook()
    try:
        sheet = planning.sheet_for(active["raw"], records)
        return sheet, ladder.read(sheet, records, today), planning.own_book(active["raw"])
    except planning.NOT_PLANNED:
        log.exception("the active season cannot be planned")
        return None, None, read_rulebook()
