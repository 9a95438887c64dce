"""Seasons; a deleted one is kept and can be brought back.

Reading is written in SQL: every exchange of a phone reads them, and Peewee would take longer to build the query.
"""

import json
from typing import Any

from webapp.store.sqlite.database import execute, fits
from webapp.store.tables import Season
from webapp.store.values import SeasonRow


def list_seasons(user_id: int) -> list[SeasonRow]:
    """Return a diver's seasons in the order they were made."""
    return _read(user_id, "NOT deleted ORDER BY id")


def all_seasons(user_id: int) -> list[SeasonRow]:
    """Return a diver's seasons, the deleted ones too, in the order they were made."""
    return _read(user_id, "true ORDER BY id")


def get_season(user_id: int, season_id: int) -> SeasonRow | None:
    """Return this season of this diver, or None."""
    found = _read(user_id, "NOT deleted AND id = ?", season_id) if fits(season_id) else []
    return found[0] if found else None


def active_season(user_id: int) -> SeasonRow | None:
    """Return the season that the phone follows, or None."""
    found = _read(user_id, "NOT deleted AND active")
    return found[0] if found else None


def add_season(user_id: int, name: str, raw: dict[str, Any], at: str) -> int:
    """Add a season and return its id."""
    row = Season.create(user_id=user_id, name=name, raw_json=json.dumps(raw), changed_at=at)
    return int(row.id)


def change_season(season_id: int, name: str, raw: dict[str, Any], at: str) -> None:
    """Replace a season's name and JSON."""
    Season.update(name=name, raw_json=json.dumps(raw), changed_at=at).where(Season.id == season_id).execute()


def make_active(user_id: int, season_id: int | None) -> None:
    """Make this the only season that the phone follows; None leaves it without one."""
    Season.update(active=False).where((Season.user_id == user_id) & Season.active).execute()
    Season.update(active=True).where((Season.user_id == user_id) & (Season.id == season_id)).execute()


def set_deleted(user_id: int, season_id: int, deleted: bool) -> bool:
    """Mark a season deleted or not, and in both cases not active; False when there was nothing to change."""
    wanted = (Season.user_id == user_id) & (Season.id == season_id) & (Season.deleted != deleted)
    return fits(season_id) and bool(Season.update(deleted=deleted, active=False).where(wanted).execute())


def _read(user_id: int, which: str, *values: object) -> list[SeasonRow]:
    """Return those of a diver's seasons for which these words of SQL hold."""
    columns = "id, name, active, raw_json, changed_at, deleted"
    rows = execute(f"SELECT {columns} FROM season WHERE user_id = ? AND {which}", (user_id, *values))  # noqa: S608
    return [
        SeasonRow(season_id, name, bool(active), json.loads(raw_json), changed_at, bool(deleted))
        for season_id, name, active, raw_json, changed_at, deleted in rows
    ]
