"""Readings: what the water of the active season's site means for its diver, and the constants of the physics."""

from typing import Any

from webapp.actions import planning, seasons
from webapp.readings import readings
from webapp.store.values import SeasonRow


def readings_for(user_id: int, row: SeasonRow, today: str) -> dict[str, Any]:
    """Return what the saved season reads; what was typed and not saved is not in it.

    Raises NotPlanned with what is wrong with the saved season.
    """
    try:
        season, book = planning.checked_on(row.raw, today)
        current = seasons.current(user_id, today)
    except planning.NOT_PLANNED as error:
        raise planning.not_planned(error) from error
    targets = readings.targets_of(season, current.plan["next"] if current else None)
    return readings.readings_of(season, book, current.speeds if current else None, targets)


def physics() -> dict[str, Any]:
    """Return the constants with their sources, and what the marks beside them mean."""
    return {"constants": readings.constants(), "marks": readings.MARKS}
