"""The limit after a loss of motor control or a blackout: for every discipline, until enough clean dives."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from .sentences import clean_dives, date_words, fill, steps
from .standdown import iso
from .standing import Standing, rung_at

Json = Mapping[str, Any]


@dataclass(frozen=True)
class Limit:
    """The depth and the day of the event, what it was, and the clean deep dives that are left until the limit ends."""

    depth_m: float
    n: int
    what: str
    left: int


def limit_after(sheet: Json, now: Limit | None, n: int, what: str, depth_m: float) -> Limit:
    """Return the limit after one more event; of two the shallower depth counts."""
    left = sheet["numbers"]["limit_dives"]
    if now and now.depth_m <= depth_m:
        return replace(now, left=left)
    return Limit(depth_m, n, what, left)


def limit_dived(now: Limit | None) -> Limit | None:
    """Return what is left of the limit after a clean deep dive."""
    return replace(now, left=now.left - 1) if now and now.left > 1 else None


def limited(sheet: Json, ladder: Json, limit: Limit | None, now: Standing) -> Standing:
    """Return the standing under the limit."""
    if limit is None:
        return now
    down, words = sheet["numbers"]["limit_rungs"], sheet["words"]
    rung = max(0, rung_at(ladder, limit.depth_m) - down)
    if rung >= now.rung:
        return now
    said = {
        "depth": ladder["rungs"][rung]["depth_m"], "down": steps(down, words), "where": limit.depth_m,
        "left": clean_dives(limit.left, words), "what": words["what_" + limit.what],
        "date": date_words(iso(limit.n), words),
    }  # fmt: skip
    return Standing(rung, 0, 0, fill(words["limited"], said), sent_down=now.sent_down, dived=now.dived, is_set=True)
