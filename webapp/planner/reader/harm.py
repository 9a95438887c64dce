"""What the worse verdicts do, whatever the dive was for: days without deep dives, lower ladders, a stand-down."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from .limit import Limit, limit_after, limit_dived
from .rest import NEVER
from .sentences import date_words, fill
from .standdown import StandDown, holds, is_cleared, iso, stop_says, stop_values, widened
from .standing import Standing, lowered, resumed, sent_down

Json = Mapping[str, Any]
Standings = dict[str, Standing]


@dataclass(frozen=True)
class Fall:
    """What one event does to the ladder of its discipline, or of all (None), as a change of (ladder, standing)."""

    n: int
    discipline: str | None
    change: Callable[[Json, Standing], Standing]


class Harm:
    """What the events so far still do. Days are day numbers; `first` is the first day of the season."""

    def __init__(self, cleared: Sequence[int], first: int) -> None:
        self.cleared, self.first = cleared, first
        self.stop: StandDown | None = None
        self.limit: Limit | None = None
        self.lmc_n = NEVER
        self.no_deep_n, self.no_deep_before, self.no_deep_why = NEVER, NEVER, "easy_lmc"
        self.applied: set[tuple[str, str]] = set()
        self.falls: list[Fall] = []

    def happened(
        self, sheet: Json, now: Standings, n: int, dive: Json, event: tuple[str, int], care: tuple[str, ...]
    ) -> Standings:
        """Take in one verdict of a dive with its days, once; return the standings after it.

        An event before the season lowers its ladders too, if it still applies on the first day.
        """
        name, days = event
        table = sheet["verdicts"][name]
        if (dive["id"], name) in self.applied or table["over"] is None:
            return now
        self.applied.add((dive["id"], name))
        self._no_deep(table, n, name, days)
        now = self._lowered(sheet, now, n, dive, name)
        if table["limits"] and n >= self.first - sheet["numbers"]["limit_days"]:
            self.limit = limit_after(sheet, self.limit, n, name, dive["reached_m"])
        is_again = table["again_days"] and n - self.lmc_n <= table["again_days"]
        self.lmc_n = n if table["again_days"] else self.lmc_n
        if table["stands_down"] or is_again:
            off, what = (table["again_days_off"], f"{name}_again") if is_again else (days, name)
            stop = StandDown(n, n + off, what, care)
            now = self._stood(sheet, now, stop)
        return now

    def entered(self, name: str, ladder: Json, now: Standing, near_n: int) -> Standing:
        """Return the standing of a ladder that is new in the season, lowered by what happened since `near_n`."""
        for fall in self.falls:
            if fall.n >= near_n and fall.discipline in (None, name):
                now = fall.change(ladder, now)
        return now

    def dived_clean(self) -> None:
        """Take in a clean deep dive: the limit needs some of them."""
        self.limit = limit_dived(self.limit)

    def stop_says(self, words: Json, n: int) -> str | None:
        """Return the sentence of the stand-down as it applies on day `n`, None when it does not."""
        return stop_says(words, self.stop, self.cleared, n) if self.stop and self.holds(self.stop, n) else None

    def no_deep_says(self, words: Json, n: int) -> str | None:
        """Return what a deep dive on day `n` is told, None when one was allowed."""
        if n >= self.no_deep_before:
            return None
        what = words["what_sore" if self.no_deep_why == "easy_sore" else "what_lmc"]
        until, of = (date_words(iso(day), words) for day in (self.no_deep_before, self.no_deep_n))
        return fill(words["deep_too_early"], {"until": until, "what": what, "date": of})

    def holds(self, stop: StandDown | None, n: int) -> bool:
        """Tell whether a stand-down applies on day `n`."""
        return holds(stop, self.cleared, n)

    def stand_down(self, words: Json, n: int) -> dict[str, Any] | None:
        """Return the stand-down as it stands on day `n`, for the plan."""
        stop = self.stop
        if stop is None or not self.holds(stop, n):
            return None
        return {
            "since": iso(stop.since),
            "until": iso(stop.until),
            "needs_clearance": not is_cleared(stop, self.cleared, n),
            "why": stop_says(words, stop, self.cleared, n),
            "care": list(stop.care),
        }

    def _no_deep(self, table: Json, n: int, name: str, days: int) -> None:
        """Take in days without a deep dive: the verdict's own, or those of a mild injury."""
        least = table["no_deep_days"] or (0 if table["stands_down"] else days)
        if least and n + least + 1 > self.no_deep_before:
            why = "easy_lmc" if table["no_deep_days"] else "easy_sore"
            self.no_deep_n, self.no_deep_before, self.no_deep_why = n, n + least + 1, why

    def _lowered(self, sheet: Json, now: Standings, n: int, dive: Json, name: str) -> Standings:
        down = sheet["verdicts"][name]["down"]
        if not down or self.no_deep_before <= self.first:
            return now
        why = fill(sheet["words"]["lmc"], {"date": date_words(iso(n), sheet["words"]), "down": down})
        fall = Fall(n, dive["discipline"], lambda _, one: lowered(sent_down(one), down, why))
        return self._fell(sheet, now, fall)

    def _stood(self, sheet: Json, now: Standings, stop: StandDown) -> Standings:
        """Take in a stand-down: a new one, or another event during one, which lowers the ladders once more."""
        day, before = max(stop.since, self.first), self.stop
        self.stop = widened(before, self.cleared, stop)
        if not self.holds(stop, day):
            return now
        said, down = stop_values(sheet["words"], stop), sheet["numbers"]["limit_rungs"]
        if not self.holds(before, day):
            fall = Fall(stop.since, None, lambda ladder, one: resumed(sheet, ladder, sent_down(one), said))
            return self._fell(sheet, now, fall)
        why = fill(sheet["words"]["lower_still"], {**said, "down": down})
        return self._fell(sheet, now, Fall(stop.since, None, lambda _, one: lowered(one, down, why)))

    def _fell(self, sheet: Json, now: Standings, fall: Fall) -> Standings:
        """Return the standings after a fall, which is kept for ladders that the season gets later."""
        self.falls.append(fall)
        ladders = sheet["disciplines"]
        whose = [name for name in now if fall.discipline in (None, name)]
        return {**now, **{name: fall.change(ladders[name], now[name]) for name in whose}}
