"""Surface intervals by named rules: each is shown and the longest counts; none of them makes a dive safe.

A rule is a row of plain factors, so that a table of rows and pressures is enough to run it on the phone.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from .constants import ATMOSPHERE_BAR
from .pressure import Water, pressure_table
from .ranges import check


@dataclass(frozen=True)
class Rule:
    """One rule, for dives to `from_m` or deeper.

    pause_s = dive_s x per_dive + dive_s x bar x per_dive_bar + depth_m x per_m + fixed_s. Errors: OutOfRange.
    """

    name: str
    per_dive: float = 0.0
    per_dive_bar: float = 0.0
    per_m: float = 0.0
    fixed_s: float = 0.0
    from_m: float = 0.0

    def __post_init__(self) -> None:
        for field in ("per_dive", "per_dive_bar"):
            check(field, getattr(self, field), "times")
        for field in ("per_m", "fixed_s"):
            check(field, getattr(self, field), "seconds")
        check("from_m", self.from_m, "depth_m")


@lru_cache(maxsize=64)
def bars_by_metre(to_m: float, water: Water) -> tuple[float, ...]:
    """Return the pressure in bar that counts for a pause at each whole metre from 0 to `to_m` (at most 1000).

    That is the absolute pressure. Above sea level the ratio to the surface's pressure counts, times that at sea level,
    so that no dive gets a shorter pause there; own choice, no source. Kept for some waters: a boat's divers share one.
    """
    ratio = max(1.0, ATMOSPHERE_BAR / water.surface_bar)
    return tuple(ratio * bar for bar in pressure_table(to_m, 1.0, water))
