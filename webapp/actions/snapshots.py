"""What a phone gets of a season: the ladder sheet that its plan is read from, or why there is none."""

from datetime import datetime
from typing import Any

from webapp.actions import planning
from webapp.actions.errors import NotPlanned
from webapp.actions.times import stamp
from webapp.records.changes import pieces, raw_on
from webapp.store import seasons


def plan_parts(user_id: int, now: datetime, has_sheet: str | None, today: str) -> dict[str, Any]:
    """Return the snapshot, and None under "not_planned"; the other way round when the season cannot be planned.

    A season that newer rules refuse, or an error in the planner, must not keep dives from being stored. A phone that
    gets no snapshot keeps its own, with or without knowing why.
    """
    try:
        return {"snapshot": _snapshot(user_id, now, has_sheet, today), "not_planned": None}
    except planning.NOT_PLANNED as error:
        said = planning.not_planned(error)
        return {"snapshot": None, "not_planned": _said(said)}


def _said(error: NotPlanned) -> dict[str, Any]:
    faults = [{"field": fault.field, "says": fault.says} for fault in error.faults]
    return {"says": str(error), "faults": faults}


def _snapshot(user_id: int, now: datetime, has_sheet: str | None, today: str) -> dict[str, Any]:
    """Return the active season with its sheet, unless the phone has that one; no season is a snapshot too."""
    compiled = planning.compiled_of(user_id)
    if compiled is None:
        return {"season": None, "sheet": None, "made_at": stamp(now)}
    row = compiled.row
    site = site_of(row.raw, today)
    season = {"id": row.id, "name": row.name, "site": site, "days_at": _days_at(user_id, site)}
    sheet = {} if has_sheet == compiled.sheet_id else {"sheet": compiled.sheet}
    return {"season": season, "sheet_id": compiled.sheet_id, "made_at": stamp(now), **sheet}


def site_of(raw: dict[str, Any], today: str) -> str | None:
    """Return the id of the record of a stored season's site as it is on this day, None when it has none."""
    return _site(raw_on(raw, today))


def _days_at(user_id: int, record: str | None) -> list[list[str]]:
    """Return when the seasons of this diver were or will be at this site: each time its first and its last day."""
    rows = seasons.list_seasons(user_id) if record else []
    return [[first, last] for row in rows for first, last, raw in pieces(row.raw) if _site(raw) == record]


def _site(raw: dict[str, Any]) -> str | None:
    site = raw.get("site")
    return site.get("record") if isinstance(site, dict) else None
