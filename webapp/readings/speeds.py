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

    The way is twice the depth. Descent and ascent on their own are the mean of the dives that have the time of the way
    down, and None without any. The spread is the sample standard deviation (n - 1), None for too few dives.
    """
    found = []
    for (discipline, from_m), held in by_band(filter(_is_timed, dives), book).items():
        arrived = [dive for dive in held if _has_arrived(dive, book)]
        speeds = _believed(((2 * dive["reached_m"], _way_s(dive, book)) for dive in arrived), book)
        if speeds:
            figures = _figures(speeds, book) | _each_way(arrived, book)
            found.append({"discipline": discipline, **edges(from_m, book), **figures})
    return found


def _is_timed(dive: Json) -> bool:
    """Tell whether a deep dive has a time of its own; one that the form filled in and nobody changed says nothing."""
    return dive["role"] == "deep" and dive["dive_s"] is not None and dive.get("time_from") is None


def _has_arrived(dive: Json, book: Rulebook) -> bool:
    """Tell whether the dive was as deep as it was meant to be: one that was turned early has no whole way."""
    return bool(dive["reached_m"] >= wanted_m(dive) - book.value("clean.tolerance_m"))


def _way_s(dive: Json, book: Rulebook) -> float:
    """Return the seconds of both ways: the dive time without the time at the plate and for the turn."""
    return float(dive["dive_s"] - (dive.get("hang_s") or 0) - book.value("speed.turn_s"))


def _believed(ways: Iterable[tuple[float, float]], book: Rulebook) -> list[float]:
    """Return the speeds of these ways (metres, seconds) that can be right."""
    low, high = book.value("speed.believed_low"), book.value("speed.believed_high")
    return [way_m / way_s for way_m, way_s in ways if way_s > 0 and low <= way_m / way_s <= high]


def _each_way(dives: Iterable[Json], book: Rulebook) -> dict[str, float | None]:
    """Return the mean speeds of descent and ascent of the dives whose arrival at the plate was noted."""
    timed = [dive for dive in dives if dive.get("down_s")]
    down = _believed(((dive["reached_m"], dive["down_s"]) for dive in timed), book)
    up = _believed(((dive["reached_m"], _way_s(dive, book) - dive["down_s"]) for dive in timed), book)
    return {"descent_m_s": _mean(down), "ascent_m_s": _mean(up)}


def _mean(speeds: Sequence[float]) -> float | None:
    return round(mean(speeds), DIGITS) if speeds else None


def _figures(speeds: Sequence[float], book: Rulebook) -> dict[str, Any]:
    spread = round(stdev(speeds), DIGITS) if len(speeds) >= book.value("looking_back.least") else None
    return {"dives": len(speeds), "mean_m_s": round(mean(speeds), DIGITS), "spread_m_s": spread}
