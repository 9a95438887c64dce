"""Seasons; a deleted one is kept and can be brought back."""

import json
from typing import Any

from webapp.store.sqlite.database import fits
from webapp.store.tables import Season
from webapp.store.values import SeasonRow


def list_seasons(user_id: int) -> list[SeasonRow]:
    """Return a diver's seasons in the order they were made."""
    return [_season(row) for row in _own(user_id).order_by(Season.id)]


def all_seasons(user_id: int) -> list[SeasonRow]:
    """Return a diver's seasons, the deleted ones too, in the order they were made."""
    return [_season(row) for row in Season.select().where(Season.user_id == user_id).order_by(Season.id)]


def get_season(user_id: int, season_id: int) -> SeasonRow | None:
    """Return this season of this diver, or None."""
    row = _own(user_id).where(Season.id == season_id).first() if fits(season_id) else None
    return _season(row) if row else None


def active_season(user_id: int) -> SeasonRow | None:
    """Return the season that the phone follows, or None."""
    row = _own(user_id).where(Season.active).first()
    return _season(row) if row else None


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


def _own(user_id: int) -> Any:
    return Season.select().where((Season.user_id == user_id) & ~Season.deleted)


def _season(row: Any) -> SeasonRow:
    return SeasonRow(row.id, row.name, row.active, json.loads(row.raw_json), row.changed_at, row.deleted)
