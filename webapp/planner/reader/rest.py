"""Rest between deep dives: the spacing of every deep dive so far, of any discipline, and taxing ones."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

NEVER = -(10**6)
Json = Mapping[str, Any]


class Rest:
    """What the deep dives so far ask for. Days are day numbers."""

    def __init__(self) -> None:
        self.n, self.streak, self.streak_m = NEVER, 0, 0.0  # the last deep day, and the days in a row up to it
        self.until, self.until_m, self.until_of = NEVER, 0.0, NEVER  # the rest that runs longest, and whose it is
        self.taxing_until, self.taxing_n = NEVER, NEVER

    def add(self, spacing: Sequence[Json], n: int, depth_m: float) -> None:
        """Take in a deep dive of day `n`."""
        if n != self.n:
            goes_on = n == self.n + 1
            self.streak = self.streak + 1 if goes_on else 1
            self.streak_m = self.streak_m if goes_on else 0.0
        self.n, self.streak_m = n, max(self.streak_m, depth_m)
        until = n + row_of(spacing, depth_m)["min_days"]
        if until > self.until:
            self.until, self.until_m, self.until_of = until, depth_m, n

    def taxed(self, n: int, days: int) -> None:
        """Take in that day `n` was taxing: the next deep dive comes these days later at the earliest."""
        if n + days > self.taxing_until:
            self.taxing_until, self.taxing_n = n + days, n

    def easy(self, spacing: Sequence[Json], n: int, target_m: float) -> tuple[str, dict[str, Any], int] | None:
        """Return why day `n` is too early for a deep dive to this target: (sentence, its values, of which day)."""
        days = row_of(spacing, target_m)["min_days"]
        if n < self.until:
            return "easy_gap", {"depth": self.until_m, "days": self.until - self.until_of}, self.until_of
        if n - self.n < days:
            return "easy_gap", {"depth": target_m, "days": days}, self.n
        most = row_of(spacing, max(target_m, self.streak_m))["max_in_a_row"]
        if n - self.n == 1 and self.streak >= most:
            return "easy_row", {"count": self.streak}, self.n
        if n < self.taxing_until:
            return "easy_taxing", {"days": self.taxing_until - self.taxing_n}, self.taxing_n
        return None


def row_of(spacing: Sequence[Json], depth_m: float) -> Json:
    """Return the row of the spacing table for this depth."""
    return next(row for row in spacing if row["to_m"] is None or depth_m <= row["to_m"])
