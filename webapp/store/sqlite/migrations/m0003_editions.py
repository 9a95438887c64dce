"""Seasons say with which edition of the rulebook they were made: those saved before editions existed, with the first.

The first edition asked for two clean dives on every rung; what a season did not say then is written into it now.
"""

import json
import sqlite3
from typing import Any

EDITION = 1
REPEATS = 2


def up(connection: sqlite3.Connection) -> None:
    """Write the edition, and the clean dives that a rung needed, into every season."""
    for season_id, raw_json in connection.execute("SELECT id, raw_json FROM season").fetchall():
        raw = json.loads(raw_json)
        if isinstance(raw, dict) and "book" not in raw:
            connection.execute("UPDATE season SET raw_json = ? WHERE id = ?", (json.dumps(_first(raw)), season_id))


def _first(raw: dict[str, Any]) -> dict[str, Any]:
    repeats = (raw.get("rules") or {}).get("ladder.repeats", REPEATS)
    levels = [_level(level, repeats) for level in raw.get("disciplines") or []]
    return {**raw, "book": EDITION, **({"disciplines": levels} if levels else {})}


def _level(level: dict[str, Any], repeats: int) -> dict[str, Any]:
    return level if level.get("repeats") is not None else {**level, "repeats": repeats}
