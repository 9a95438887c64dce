"""The surface interval read from the sheet: look up, multiply, compare; which rule is the longest, and why."""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Iterable, Mapping
from operator import itemgetter
from typing import Any

from .sentences import fill, nth

Json = Mapping[str, Any]
EXACT_S = 60  # logged times may be exact to the minute only


def pause_after(sheet: Json, dives: Iterable[Json]) -> dict[str, Any] | None:
    """Return the pause after the last of the day's dives: {seconds, rules: [{name, seconds}], longer: words or None}.

    `dives` are in order, each {reached_m, dive_s, surfaced_s}; `surfaced_s` is in seconds on any clock. What is left of
    an earlier dive's pause still counts: a shallow dive in between does not shorten it.
    """
    day = PauseDay(sheet)
    for dive in dives:
        day.add(dive)
    return day.pause


def short_pause(sheet: Json, earlier: Iterable[Json], dive: Json) -> dict[str, float] | None:
    """Return None if the pause before this dive was kept, else {pause_s, needed_s}; `earlier` as in `pause_after`."""
    day = PauseDay(sheet)
    for other in earlier:
        day.add(other)
    return day.add(dive)


class PauseDay:
    """The dives of one day, added in order of surfacing; `pause` is what `pause_after` gives after the last one.

    The pause after a dive is calculated when it is asked for: no one asks after the last dive of a logged day.
    """

    def __init__(self, sheet: Json) -> None:
        self._sheet = sheet
        self._pause: dict[str, Any] | None = None
        self._open: Json | None = None  # the last dive, while its pause was not asked for
        self._repeats = [_Repeats(*numbers) for numbers in _repetitions(sheet["interval"]["repetition"])]
        self._last_s = 0.0
        self._running: tuple[Json, int] | None = None  # the dive whose own pause ends last, and that pause

    def add(self, dive: Json) -> dict[str, float] | None:
        """Take in the day's next dive; return {pause_s, needed_s} if the pause before it was too short, else None."""
        before = self.pause
        short = self._short(dive, before) if before else None
        self._open, self._last_s = dive, dive["surfaced_s"]
        return short

    @property
    def pause(self) -> dict[str, Any] | None:
        """Return the pause after the last dive, None before the first."""
        if self._open is not None:
            dive, self._open = self._open, None
            asked = self._asked(dive)
            self._pause = self._with_running(asked, dive)
            self._remember(dive, asked["seconds"])
        return self._pause

    def _short(self, dive: Json, before: Json) -> dict[str, float] | None:
        pause_s = dive["surfaced_s"] - dive["dive_s"] - self._last_s
        if pause_s >= before["seconds"] - EXACT_S:
            return None
        return {"pause_s": max(0, math.floor(pause_s)), "needed_s": before["seconds"]}

    def _asked(self, dive: Json) -> dict[str, Any]:
        """Return the pause that this dive asks for, longer if it is one of several deep dives, or of many."""
        rules = needed(self._sheet["interval"], dive["reached_m"], dive["dive_s"])
        seconds = rules[0]["seconds"] if rules else 0
        times, longer = 1.0, None
        for repeats in self._repeats:
            count = repeats.count(dive)
            if count >= repeats.dives and self._times(count, repeats.dives) > times:
                times, longer = self._times(count, repeats.dives), self._why(count, repeats)
        return {"seconds": math.ceil(seconds * times), "rules": rules, "longer": longer}

    def _times(self, count: int, dives: int) -> float:
        """Return how many times as long: the factor once for each full number of dives, up to the most."""
        repetition = self._sheet["interval"]["repetition"]
        most, times = repetition.get("most_times", repetition["factor"]), 1.0
        for _ in range(count // dives):
            times = min(times * repetition["factor"], most)
            if times == most:
                break
        return float(times)

    def _why(self, count: int, repeats: _Repeats) -> str:
        words = self._sheet["words"]
        said = {"nth": nth(count, words), "depth": repeats.from_m, "minutes": repeats.within_min}
        return fill(words["repeated"], said)

    def _with_running(self, asked: dict[str, Any], dive: Json) -> dict[str, Any]:
        if self._running is None:
            return asked
        earlier, pause_s = self._running
        left_s = math.ceil(pause_s - (dive["surfaced_s"] - earlier["surfaced_s"]))
        if left_s <= asked["seconds"]:
            return asked
        longer = fill(self._sheet["words"]["still_running"], {"depth": earlier["reached_m"]})
        return {**asked, "seconds": left_s, "longer": longer}

    def _remember(self, dive: Json, seconds: int) -> None:
        if self._running is not None:
            earlier, pause_s = self._running
            if dive["surfaced_s"] + seconds <= earlier["surfaced_s"] + pause_s:
                return
        self._running = dive, seconds


class _Repeats:
    """Counts the dives to a depth or deeper within some minutes; each dive is looked at twice at most."""

    def __init__(self, from_m: float, dives: int, within_min: float) -> None:
        self.from_m, self.dives, self.within_min = from_m, dives, within_min
        self._surfaced: deque[float] = deque()

    def count(self, dive: Json) -> int:
        """Return how many there are with this one; 0 if this one is shallower."""
        if dive["reached_m"] < self.from_m:
            return 0
        self._surfaced.append(dive["surfaced_s"])
        since = dive["surfaced_s"] - 60 * self.within_min
        while self._surfaced[0] < since:
            self._surfaced.popleft()
        return len(self._surfaced)


def _repetitions(table: Json) -> list[tuple[float, int, float]]:
    """Return depth, dives and minutes of each way to repeat; an older sheet has no row for many dives."""
    rows = [(table["deep_m"], table["dives"], table["within_min"])]
    if "many_dives" in table:
        rows.append((table["many_m"], table["many_dives"], table["many_within_min"]))
    return rows


def needed(table: dict[str, Any], reached_m: float, dive_s: float) -> list[dict[str, Any]]:
    """Return each rule's pause after this dive as {name, seconds}, the longest first."""
    bars = table["bars"]
    bar = bars[min(math.ceil(reached_m), len(bars) - 1)]
    pauses = [
        {
            "name": rule["name"],
            "seconds": math.ceil(
                dive_s * rule["per_dive"]
                + dive_s * bar * rule["per_dive_bar"]
                + reached_m * rule["per_m"]
                + rule["fixed_s"]
            ),
        }
        for rule in table["rules"]
        if reached_m >= rule["from_m"]
    ]
    return sorted((pause for pause in pauses if pause["seconds"] > 0), key=itemgetter("seconds"), reverse=True)
