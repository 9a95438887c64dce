"""Readings: what the water of the active season's site means for its diver, and the constants of the physics."""

from typing import Any

from webapp.actions import seasons
from webapp.planner.cards import speeds_of
from webapp.readings import readings
from webapp.records.season import book_of, check_season
from webapp.rulebook_file import read_rulebook
from webapp.store.values import SeasonRow


def readings_for(user_id: int, row: SeasonRow, today: str) -> dict[str, Any]:
    """Return what the saved season reads; what was typed and not saved is not in it."""
    season, book = check_season(row.raw, read_rulebook()), book_of(row.raw, read_rulebook())
    current = seasons.current(user_id, today)
    speeds = speeds_of(seasons.log_of(user_id), book)
    targets = readings.targets_of(season, current.plan["next"] if current else None)
    return readings.readings_of(season, book, speeds, targets)


def physics() -> dict[str, Any]:
    """Return the constants with their sources, and what the marks beside them mean."""
    return {"constants": readings.constants(), "marks": readings.MARKS}
