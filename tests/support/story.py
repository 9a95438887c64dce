"""A short way to write a season and what happened in it, for tests that read like a log."""

from __future__ import annotations

from typing import Any

from support.seasons import day, dive, sheet_of
from webapp.planner.reader.ladder import read

NO_SPACING = {"spacing": [{"to_m": None, "min_days": 1, "max_in_a_row": 99}]}


def season(**fields: Any) -> dict[str, Any]:
    """An invented season: FIM from 40 m in steps of 2 m, each twice, two days on and one off, five weeks."""
    level = {
        "discipline": "FIM", "best_m": 44, "start_m": 40, "step_m": 2, "repeats": 2,
        "goals": {"floor_m": 44, "aim_m": 50, "dream_m": 58},
    }  # fmt: skip
    plain = {
        "first_day": day(0), "last_day": day(34), "days_on": 2, "days_off": 1, "block_days": 35, "break_days": 0,
        "closed_days": [], "site": {"name": "Invented Bay", "bottom_m": 60},
        "disciplines": [{**level, **fields.pop("level", {})}],
        "lead": ["FIM"], "drill": {"discipline": "CWT", "depth_m": 22, "dives": 2}, "rules": {},
    }  # fmt: skip
    return {**plain, **fields}


def logged(*deeds: tuple[int, str, dict[str, Any]]) -> list[dict[str, Any]]:
    """Dives from (day offset, discipline, fields); `reached_m` is the target unless given."""
    records = []
    for index, (offset, discipline, fields) in enumerate(deeds):
        reached_m = fields.get("reached_m", fields.get("target_m"))
        records.append(
            dive(
                id=f"d{index}",
                date=day(offset),
                discipline=discipline,
                **{"at": f"{8 + index % 12:02}:00", **fields, "reached_m": reached_m},
            )
        )
    return records


def plan(raw: dict[str, Any], log: list[dict[str, Any]] = (), today: int = 0) -> dict[str, Any]:
    """The plan as read on the day with this offset."""
    return read(sheet_of(raw), list(log), day(today))


def on(found: dict[str, Any], offset: int) -> dict[str, Any]:
    """One day of a plan."""
    return next(one for one in found["days"] if one["date"] == day(offset))


def deep(found: dict[str, Any], offset: int) -> float | None:
    """The deep target of a day, None when there is none."""
    return next((one["target_m"] for one in on(found, offset)["dives"] if one["role"] == "deep"), None)


def fim(found: dict[str, Any]) -> tuple[float, int]:
    """Where the FIM ladder stands: its rung and the clean dives on it."""
    ladder = found["disciplines"]["FIM"]
    return ladder["rung_m"], ladder["clean_on_rung"]


def deeps(found: dict[str, Any]) -> list[float]:
    """All deep targets of a plan in order."""
    return [one["target_m"] for each in found["days"] for one in each["dives"] if one["role"] == "deep"]
