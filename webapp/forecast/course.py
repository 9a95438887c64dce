"""The ladder of one discipline while it is the main one, from dive day to dive day, with every chance exact.

Nothing is sampled. Every step is the reader's; it is asked for once, and then looked up for all that stand alike.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from ..planner.reader.boat_day import Said
from .chances import Chances, Floats, Scale
from .numbers import Ints, Places, Table, Table2
from .spread import Parts, Spread, summed
from .walk import CLEAN, HARD, TAXING, Ladder, Opened, Outcome, Pause, Walk


@dataclass(frozen=True)
class Slot:
    """A dive day to come: what was said of it, how likely it is lost, and whether it has no deep dive for certain."""

    said: Said
    lost: float
    is_stopped: bool


@dataclass(frozen=True)
class Told:
    """What one dive day came to: the chance of a deep dive and of one that is not clean, and where it leads.

    `rung` has the chance of each depth in metres at which the ladder stands after it, `goals` that of each number of
    goals reached by then.
    """

    date: str
    dives: float
    not_clean: float
    rung: dict[float, float]
    goals: dict[int, float]


@dataclass(frozen=True)
class Dived:
    """A dive day: the spread so many days after it, the chance of a deep dive, of one not clean, and the mean depth."""

    spread: Spread
    days: int
    dives: float
    not_clean: float
    mean_m: float


class Course:
    """The course of one ladder.

    `left_out` is how likely the pairs may be, all together, that are made one with likelier ones after a day.
    """

    def __init__(
        self, walk: Walk, chances: Chances, scale: Scale, pauses: Places[Pause], turned: Outcome, left_out: float
    ) -> None:
        self.walk, self.chances, self.scale, self.pauses = walk, chances, scale, pauses
        self.turned, self.left_out = turned, left_out
        self.outcomes = (CLEAN, TAXING, HARD, turned)
        self.room: Floats = np.empty((len(chances.weight), 0))
        self.ladders: Places[Ladder] = Places()
        self.depths: Places[float] = Places()
        self.opened: list[tuple[int, int, Opened]] = []  # of which ladder and pause, and the dive
        self.depth_of: list[int] = []  # the depth of each of `opened`
        self.rows: Places[tuple[float, float]] = Places()
        self.row_of: list[int] = []  # where each of `opened` lies in the spacing table
        self.opens_to: list[int] = []  # one of `opened` for each row
        self.tables: dict[object, Table] = {}
        self.tables2: dict[object, Table2] = {}

    def aged(self, spread: Spread, days: int) -> Spread:
        """Return the spread so many days later."""
        if days == 0:
            return spread
        return Spread(
            spread.ladders, self._rested(days).of(spread.pauses), spread.share, spread.waited + days
        ).gathered()

    def settled(self, spread: Spread) -> Spread:
        """Return the spread in which the ladders count the days that passed."""
        ladders = self._aged(spread.ladders, spread.waited)
        return Spread(ladders, spread.pauses, spread.share).gathered()

    def rested_by(self, spread: Spread, said: Said) -> Spread:
        """Return the spread after a day that the diver called off."""
        table = self._table(("off", said.no_diving), lambda at: self._pause(self.walk.off(self.pauses.known[at], said)))
        return replace(spread, pauses=table.of(spread.pauses)).gathered()

    def after(self, spread: Spread, slot: Slot) -> Dived:
        """Return a dive day."""
        if slot.is_stopped:
            return Dived(spread, 0, 0.0, 0.0, 0.0)
        counted = self._waited(spread)
        opens = self._opens(counted, slot.said)
        depths, rows = np.array(self.depth_of)[opens], np.array(self.row_of)[opens]
        is_easy = self._table2("easy", self._is_easy).of(spread.pauses, rows)
        deep = np.flatnonzero(is_easy == 0)
        if len(deep) == 0:
            return Dived(spread, 0, 0.0, 0.0, 0.0)
        deep_share = spread.share[:, deep] * (1 - slot.lost)
        clean = deep_share * self._clean(depths[deep])
        each = self._each(deep_share, clean)
        parts = self._parts(spread.share * np.where(is_easy > 0, 1.0, slot.lost), clean, deep_share - clean)
        after = self._added(self._ends(counted, deep, opens[deep], rows[deep]), parts)
        mean_m = each[0] @ np.array(self.depths.known)[depths[deep]] / each[0].sum()
        return Dived(after, 1, float(each[0].sum()), float(each[1].sum()), float(mean_m))

    def _ends(self, spread: Spread, deep: Ints, opens: Ints, rows: Ints) -> tuple[Ints, Ints]:
        """Return the ladders and the pauses of the next morning: without a dive, and after each outcome of one."""
        ladders, pauses = [spread.ladders], [spread.pauses]
        for outcome in self.outcomes:
            ladders.append(self._climb(outcome).of(opens))
            pauses.append(self._paused(outcome).of(spread.pauses[deep], rows))
        return np.concatenate(ladders), self._rested(1).of(np.concatenate(pauses))

    def _parts(self, stays: Floats, clean: Floats, bad: Floats) -> Floats:
        """Return the shares of the next morning: without a dive, and after each outcome of one."""
        places, dives = stays.shape[1], clean.shape[1]
        parts = self._room(places + 4 * dives)
        parts[:, :places] = stays
        taxing, hard = self.chances.taxing, self.chances.hard
        for at, (of, part) in enumerate(((clean, 1 - taxing), (clean, taxing), (bad, hard), (bad, 1 - hard))):
            np.multiply(of, part, out=parts[:, places + at * dives : places + (at + 1) * dives])
        return parts

    def _room(self, columns: int) -> Floats:
        """Return room for the shares of a day; it is used again on each."""
        if columns > self.room.shape[1]:
            self.room = np.empty((len(self.chances.weight), 2 * columns))
        return self.room[:, :columns]

    def _each(self, dived: Floats, clean: Floats) -> tuple[Floats, Floats]:
        """Return how likely a deep dive is at each pair, and one that is not clean."""
        each = self.chances.weight @ dived
        return each, each - self.chances.weight @ clean

    def _added(self, ends: tuple[Ints, Ints], parts: Floats) -> Spread:
        """Return the spread of the next morning."""
        ladders, pauses, at = Parts(*ends, self.chances.weight @ parts).targets(self.left_out, self._alike)
        share = summed(parts, at, len(ladders) + 1)[:, :-1]
        return Spread(ladders, pauses, share / share.sum(axis=1)[:, None], 1)

    def stands(self, spread: Spread) -> tuple[dict[float, float], dict[int, float]]:
        """Return the chance of each depth at which the ladder stands, and of each number of goals reached."""
        each = self.chances.weight @ spread.share
        rungs = np.bincount(self._rungs(spread.ladders), each)
        goals = np.bincount(self._goals(spread.ladders), each)
        known = {self.walk.rung_m(at): float(rungs[at]) for at in np.flatnonzero(rungs).tolist()}
        return known, {at: float(goals[at]) for at in np.flatnonzero(goals).tolist()}

    def _rungs(self, ladders: Ints) -> Ints:
        return self._table("rung", lambda at: self.ladders.known[at].standing.rung).of(ladders)

    def _goals(self, ladders: Ints) -> Ints:
        return self._table("goals", lambda at: self.ladders.known[at].goals).of(ladders)

    def _alike(self, ladders: Ints, pauses: Ints) -> Ints:
        """Return a number for each pair that tells its depth, its goals and its pause."""
        goals = self._goals(ladders)
        depths = self._rungs(ladders) * (int(goals.max()) + 1) + goals
        return depths * (int(pauses.max()) + 1) + pauses

    def _waited(self, spread: Spread) -> Spread:
        """Return the spread on a dive day that counts: each ladder with the days that passed, as far as they matter.

        Days that are no time away matter no more, but for the run-in before the first deep dive.
        """
        has_dived = self._table("dived", lambda at: int(self.pauses.known[at].gap is not None)).of(spread.pauses) > 0
        is_due = self._table("due", lambda at: int(self.ladders.known[at].away_days > 0)).of(spread.ladders) > 0
        at = np.flatnonzero(~has_dived | is_due | (spread.waited > self.walk.full_days))
        ladders = spread.ladders.copy()
        aged = self._aged(ladders[at], spread.waited)
        ladders[at] = np.where(has_dived[at], self._seen(aged), aged)
        return replace(spread, ladders=ladders)

    def _rested(self, days: int) -> Table:
        return self._table(("rested", days), lambda at: self._pause(self.walk.rested(self.pauses.known[at], days)))

    def _aged(self, ladders: Ints, days: int) -> Ints:
        return self._table(("aged", days), lambda at: self._ladder(self.walk.aged(self.ladders.known[at], days))).of(
            ladders
        )

    def _seen(self, ladders: Ints) -> Ints:
        return self._table("seen", lambda at: self._ladder(self.walk.seen(self.ladders.known[at]))).of(ladders)

    def _clean(self, depths: Ints) -> Floats:
        """Return the chance of a clean dive to each depth, in a column each."""
        beyond = np.array([self.scale.beyond(depth_m) for depth_m in self.depths.known])
        return self.chances.clean(beyond).T[:, depths]

    def _climb(self, outcome: Outcome) -> Table:
        def climbed(at: int) -> int:
            ladder, pause, opened = self.opened[at]
            place = self.walk.ladder_after(self.ladders.known[ladder], self.pauses.known[pause], opened, outcome)
            return self._ladder(place)

        return self._table(("climb", outcome.verdict), climbed)

    def _paused(self, outcome: Outcome) -> Table2:
        def paused(pause: int, row: int) -> int:
            ladder, _, opened = self.opened[self.opens_to[row]]
            return self._pause(
                self.walk.pause_after(self.ladders.known[ladder], self.pauses.known[pause], opened, outcome)
            )

        return self._table2(outcome, paused)

    def _opens(self, spread: Spread, said: Said) -> Ints:
        """Return what each pair opens a day with, as numbers of `opened`."""
        kinds = self._table("kind", lambda at: self._pause(self.walk.kind(self.pauses.known[at]))).of(spread.pauses)
        table = self._table2(("open", id(said)), lambda ladder, pause: self._open(ladder, pause, said))
        return table.of(spread.ladders, kinds)

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
