"""The steps of one ladder by number: each is asked of the reader once, and then looked up for all that stand alike."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from ..planner.reader.boat_day import Said
from .numbers import Ints, Places, Table, Table2
from .places import Ladder, Opened, Outcome, Pause
from .walk import Walk


class Steps:
    """Where the numbered places of a ladder and the numbered pauses lead."""

    def __init__(self, walk: Walk, pauses: Places[Pause], turned: Outcome) -> None:
        self.walk, self.pauses, self.turned = walk, pauses, turned
        self.ladders: Places[Ladder] = Places()
        self.depths: Places[float] = Places()
        self.opened: list[tuple[int, int, Opened]] = []  # of which ladder and pause, and the dive
        self.depth_of: list[int] = []  # the depth of each of `opened`
        self.rows: Places[tuple[float, float]] = Places()
        self.row_of: list[int] = []  # where each of `opened` lies in the spacing table
        self.opens_to: list[int] = []  # one of `opened` for each row
        self.tables: dict[object, Table] = {}
        self.tables2: dict[object, Table2] = {}

    def rungs(self, ladders: Ints) -> Ints:
        """Return the rung of each place."""
        return self._table("rung", lambda at: self.ladders.known[at].standing.rung).of(ladders)

    def goals(self, ladders: Ints) -> Ints:
        """Return how many goals are reached at each place."""
        return self._table("goals", lambda at: self.ladders.known[at].goals).of(ladders)

    def are_due(self, ladders: Ints) -> Ints:
        """Tell, by 1, for each place whether it counts days without a dive near the comfortable depth."""
        return self._table("due", lambda at: int(self.ladders.known[at].away_days > 0)).of(ladders)

    def have_dived(self, pauses: Ints) -> Ints:
        """Tell, by 1, for each pause whether there was a deep dive before it."""
        return self._table("dived", lambda at: int(self.pauses.known[at].gap is not None)).of(pauses)

    def aged(self, ladders: Ints, days: int) -> Ints:
        """Return the places so many days later."""
        table = self._table(("aged", days), lambda at: self._ladder(self.walk.aged(self.ladders.known[at], days)))
        return table.of(ladders)

    def seen(self, ladders: Ints) -> Ints:
        """Return the places after a dive day."""
        return self._table("seen", lambda at: self._ladder(self.walk.seen(self.ladders.known[at]))).of(ladders)

    def rested(self, pauses: Ints, days: int) -> Ints:
        """Return the pauses so many days later."""
        table = self._table(("rested", days), lambda at: self._pause(self.walk.rested(self.pauses.known[at], days)))
        return table.of(pauses)

    def off(self, pauses: Ints, said: Said) -> Ints:
        """Return the pauses after a day that the diver called off."""
        table = self._table(("off", repr(said)), lambda at: self._pause(self.walk.off(self.pauses.known[at], said)))
        return table.of(pauses)

    def opens(self, ladders: Ints, pauses: Ints, said: Said) -> Ints:
        """Return what each pair opens a day with, as numbers of `opened`."""
        kinds = self._table("kind", lambda at: self._pause(self.walk.kind(self.pauses.known[at]))).of(pauses)
        table = self._table2(("open", repr(said)), lambda ladder, pause: self._open(ladder, pause, said))
        return table.of(ladders, kinds)

    def lies(self, opens: Ints) -> tuple[Ints, Ints]:
        """Return the numbers of the depth and of the row of the spacing table of each dive that is opened."""
        return np.array(self.depth_of)[opens], np.array(self.row_of)[opens]

    def are_easy(self, pauses: Ints, rows: Ints) -> Ints:
        """Tell, by 1, whether spacing or a taxing dive keeps a dive from a day."""
        return self._table2("easy", self._is_easy).of(pauses, rows)

    def climbed(self, opens: Ints, outcome: Outcome) -> Ints:
        """Return the places after what was opened came to this; whether it taxes plays no part."""

        def climbed(at: int) -> int:
            ladder, pause, opened = self.opened[at]
            place, asked = self.ladders.known[ladder], self.pauses.known[pause]
            return self._ladder(self.walk.ladder_after(place, asked, opened, outcome))

        return self._table(("climb", outcome.verdict), climbed).of(opens)

    def paused(self, pauses: Ints, rows: Ints, outcome: Outcome) -> Ints:
        """Return the pauses after dives that came to this."""

        def paused(pause: int, row: int) -> int:
            ladder, _, opened = self.opened[self.opens_to[row]]
            place, asked = self.ladders.known[ladder], self.pauses.known[pause]
            return self._pause(self.walk.pause_after(place, asked, opened, outcome))

        return self._table2(outcome, paused).of(pauses, rows)

    def _open(self, ladder: int, pause: int, said: Said) -> int:
        found = self.walk.opened(self.ladders.known[ladder], self.pauses.known[pause], said)
        self.opened.append((ladder, pause, found))
        self.depth_of.append(self.depths.number(found.depth_m))
        self.row_of.append(self.rows.number(self.walk.rows(found.depth_m, self.turned)))
        if self.row_of[-1] == len(self.opens_to):
            self.opens_to.append(len(self.opened) - 1)
        return len(self.opened) - 1

    def _is_easy(self, pause: int, row: int) -> int:
        return int(self.walk.is_easy(self.pauses.known[pause], self.opened[self.opens_to[row]][2].depth_m))

    def _ladder(self, place: Ladder) -> int:
        return self.ladders.number(place)

    def _pause(self, place: Pause) -> int:
        return self.pauses.number(place)

    def _table(self, name: object, find: Callable[[int], int]) -> Table:
        if name not in self.tables:
            self.tables[name] = Table(find)
        return self.tables[name]

    def _table2(self, name: object, find: Callable[[int, int], int]) -> Table2:
        if name not in self.tables2:
            self.tables2[name] = Table2(find)
        return self.tables2[name]


class KnownSteps:
    """The steps that several forecasts share: those of ladders with the same rungs under the same rules."""

    def __init__(self) -> None:
        self.pauses: Places[Pause] = Places()
        self.known: list[tuple[object, Steps]] = []

    def of(self, walk: Walk, turned: Outcome) -> Steps:
        """Return the steps of a ladder."""
        rules = walk.rules(), turned
        found = next((steps for known, steps in self.known if known == rules), None)
        if found is None:
            found = Steps(walk, self.pauses, turned)
            self.known.append((rules, found))
        return found
