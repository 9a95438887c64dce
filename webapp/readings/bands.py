"""Bands of depth, and which dives are counted in them: what was wanted, not how far a turned dive came."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from math import floor
from typing import Any

from ..rulebook.checks import show
from ..rulebook.rulebook import Rulebook

Json = Mapping[str, Any]
EPSILON = 1e-9  # tolerance for floats at an edge
TENTH_M = 0.1


def wanted_m(dive: Json) -> float:
    """Return the depth that a dive was for: its target, without one the depth reached."""
    return float(dive["reached_m"] if dive["target_m"] is None else dive["target_m"])


def band_of(depth_m: float, book: Rulebook) -> float:
    """Return the upper edge of the band that holds this depth."""
    band_m = float(book.value("looking_back.band_m"))
    return round(floor(depth_m / band_m + EPSILON) * band_m, 2)


def edges(from_m: float, book: Rulebook) -> dict[str, float]:
    """Return the band from this depth on as it is shown: 50 to 54.9."""
    return {"from_m": from_m, "to_m": round(from_m + book.value("looking_back.band_m") - TENTH_M, 2)}


def in_words(band: Json) -> str:
    """Return a band in words: `50 to 54.9 m`."""
    return f"{show(band['from_m'])} to {show(band['to_m'])} m"


def dives_of(log: Iterable[Json]) -> list[Json]:
    """Return the dives of a log."""
    return [record for record in log if record["kind"] == "dive"]


def by_band(dives: Iterable[Json], book: Rulebook) -> dict[tuple[str, float], list[Json]]:
    """Return the dives by discipline and the upper edge of their band, in that order."""
    found: dict[tuple[str, float], list[Json]] = {}
    for dive in dives:
        found.setdefault((dive["discipline"], band_of(wanted_m(dive), book)), []).append(dive)
    return dict(sorted(found.items()))
