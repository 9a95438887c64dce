"""Speed by depth: the mean speed of timed deep dives, without the time at the plate and for the turn."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from statistics import mean, stdev
from typing import Any

from ..rulebook.rulebook import Rulebook
from .bands import by_band, edges, wanted_m

Json = Mapping[str, Any]
DIGITS = 2


def speeds_by_depth(dives: Iterable[Json], book: Rulebook) -> list[dict[str, Any]]:
    """Return the mean speed by discipline and band of depth, of deep dives that reached their target.

    The way is twice the depth. A log has one time for a whole dive: descent and ascent on their own are not known, and
    stay None. The spread is the sample standard deviation (n - 1), None for too few dives.
    """
    found = []
    for (discipline, from_m), held in by_band(filter(_is_timed, dives), book).items():
        speeds = [speed for dive in held if (speed := _mean_m_s(dive, book)) is not None]
        if speeds:
            found.append({"discipline": discipline, **edges(from_m, book), **_figures(speeds, book)})
    return found


def _is_timed(dive: Json) -> bool:
    """Tell whether a deep dive has a time of its own; one that the form filled in and nobody changed says nothing."""
    return dive["role"] == "deep" and dive["dive_s"] is not None and dive.get("time_from") is None


def _mean_m_s(dive: Json, book: Rulebook) -> float | None:
    """Return the mean speed of one dive; None for one that was turned early or whose time cannot be right."""
    if dive["reached_m"] < wanted_m(dive) - book.value("clean.tolerance_m"):
        return None
    way_s = dive["dive_s"] - (dive.get("hang_s") or 0) - book.value("speed.turn_s")
    speed = 2 * dive["reached_m"] / way_s if way_s > 0 else None
    low, high = book.value("speed.believed_low"), book.value("speed.believed_high")
    return speed if speed is not None and low <= speed <= high else None


def _figures(speeds: Sequence[float], book: Rulebook) -> dict[str, Any]:
    spread = round(stdev(speeds), DIGITS) if len(speeds) >= book.value("looking_back.least") else None
    return {
        "dives": len(speeds), "mean_m_s": round(mean(speeds), DIGITS), "spread_m_s": spread,
        "descent_m_s": None, "ascent_m_s": None,
    }  # fmt: skip
