"""The ladder of one discipline while it is the main one, from dive day to dive day, with every chance exact.

Nothing is sampled. Every step is the reader's; it is asked for once, and then looked up for all that stand alike.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from ..planner.reader.boat_day import Said
from .chances import Chances, Floats, Scale
from .numbers import Ints
from .places import CLEAN, HARD, TAXING
from .spread import Parts, Spread, summed
from .steps import Steps
from .walk import Walk


@dataclass(frozen=True)
class Slot:
    """A dive day to come: what was said of it, how likely it is lost, and whether it has no deep dive for certain.

    `dived` is how many days of deep dives come before it from today on, on the mean.
    """

    said: Said
    lost: float
    is_stopped: bool
    dived: float


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

    def __init__(self, walk: Walk, steps: Steps, chances: Chances, scale: Scale, left_out: float) -> None:
        self.walk, self.steps, self.ladders = walk, steps, steps.ladders
        self.chances, self.scale, self.left_out = chances, scale, left_out
        self.room: Floats = np.empty((len(chances.weight), 0))

    def aged(self, spread: Spread, days: int) -> Spread:
        """Return the spread so many days later."""
        if days == 0:
            return spread
        pauses = self.steps.rested(spread.pauses, days)
        return replace(spread, pauses=pauses, waited=spread.waited + days).gathered()

    def settled(self, spread: Spread) -> Spread:
        """Return the spread in which the ladders count the days that passed."""
        return replace(spread, ladders=self.steps.aged(spread.ladders, spread.waited), waited=0).gathered()

    def rested_by(self, spread: Spread, said: Said) -> Spread:
        """Return the spread after a day that the diver called off."""
        return replace(spread, pauses=self.steps.off(spread.pauses, said)).gathered()

    def after(self, spread: Spread, slot: Slot) -> Dived:
        """Return a dive day."""
        if slot.is_stopped:
            return Dived(spread, 0, 0.0, 0.0, 0.0)
        counted = self._waited(spread)
        opens = self.steps.opens(counted.ladders, counted.pauses, slot.said)
        depths, rows = self.steps.lies(opens)
        is_easy = self.steps.are_easy(spread.pauses, rows)
        deep = np.flatnonzero(is_easy == 0)
        if len(deep) == 0:
            return Dived(spread, 0, 0.0, 0.0, 0.0)
        stays = np.where(is_easy > 0, 1.0, slot.lost)
        dived = np.take(spread.share, deep, axis=1)
        dived *= 1 - slot.lost
        clean = self._clean(depths[deep], slot.dived)
        clean *= dived
        parts = self._parts(spread.share, stays, clean, dived)
        after = self._added(self._ends(counted, deep, opens[deep], rows[deep]), parts)
        return self._told(after, self.chances.weight @ dived, self.chances.weight @ clean, depths[deep])

    def _told(self, after: Spread, dived: Floats, clean: Floats, depths: Ints) -> Dived:
        likely = float(dived.sum())
        mean_m = dived @ np.array(self.steps.depths.known)[depths] / likely
        return Dived(after, 1, likely, likely - float(clean.sum()), float(mean_m))

    def _added(self, ends: tuple[Ints, Ints], parts: Floats) -> Spread:
        """Return the spread of the next morning."""
        ladders, pauses, at = Parts(*ends, self.chances.weight @ parts).targets(self.left_out, self._reached)
        share = summed(parts, at, len(ladders) + 1)[:, :-1]
        share /= share.sum(axis=1)[:, None]
        return Spread(ladders, pauses, share, 1)

    def _ends(self, spread: Spread, deep: Ints, opens: Ints, rows: Ints) -> tuple[Ints, Ints]:
        """Return the ladders and the pauses of the next morning: without a dive, and after each outcome of one."""
        ladders, pauses = [spread.ladders], [spread.pauses]
        for outcome in (CLEAN, TAXING, HARD, self.steps.turned):
            ladders.append(self.steps.climbed(opens, outcome))
            pauses.append(self.steps.paused(spread.pauses[deep], rows, outcome))
        return np.concatenate(ladders), self.steps.rested(np.concatenate(pauses), 1)

    def _parts(self, share: Floats, stays: Floats, clean: Floats, dived: Floats) -> Floats:
        """Return the shares of the next morning: without a dive, and after each outcome of one in the same order."""
        places, dives, taxing, hard = share.shape[1], clean.shape[1], self.chances.taxing, self.chances.hard
        parts = self._room(places + 4 * dives)
        np.multiply(share, stays, out=parts[:, :places])
        bad, after = dived - clean, [places + at * dives for at in range(5)]
        for at, (of, part) in enumerate(((clean, 1 - taxing), (clean, taxing), (bad, hard), (bad, 1 - hard))):
            np.multiply(of, part, out=parts[:, after[at] : after[at + 1]])
        return parts

    def _room(self, columns: int) -> Floats:
        """Return room for the shares of a day; it is used again on each."""
        if columns > self.room.shape[1]:
            self.room = np.empty((len(self.chances.weight), 2 * columns))
        return self.room[:, :columns]

    def stands(self, spread: Spread) -> tuple[dict[float, float], dict[int, float]]:
        """Return the chance of each depth at which the ladder stands, and of each number of goals reached."""
        each = self.chances.weight @ spread.share
        rungs = np.bincount(self.steps.rungs(spread.ladders), each)
        goals = np.bincount(self.steps.goals(spread.ladders), each)
        known = {self.walk.rung_m(at): float(rungs[at]) for at in np.flatnonzero(rungs).tolist()}
        return known, {at: float(goals[at]) for at in np.flatnonzero(goals).tolist()}

    def _reached(self, ladders: Ints) -> Ints:
        """Return a number for each place that tells its depth and its goals."""
        goals = self.steps.goals(ladders)
        return self.steps.rungs(ladders) * (int(goals.max()) + 1) + goals

    def _waited(self, spread: Spread) -> Spread:
        """Return the spread on a dive day that counts: each ladder with the days that passed, as far as they matter.

        Days that are no time away matter no more, but for the run-in before the first deep dive.
        """
        has_dived = self.steps.have_dived(spread.pauses) > 0
        is_due = self.steps.are_due(spread.ladders) > 0
        at = np.flatnonzero(~has_dived | is_due | (spread.waited > self.walk.full_days))
        if len(at) == 0:
            return spread
        ladders = spread.ladders.copy()
        aged = self.steps.aged(ladders[at], spread.waited)
        ladders[at] = np.where(has_dived[at], self.steps.seen(aged), aged)
        return replace(spread, ladders=ladders)

    def _clean(self, depths: Ints, dived: float) -> Floats:
        """Return the chance of a clean dive to each depth after so many days of deep dives, in a column each."""
        beyond = np.array([self.scale.beyond(depth_m) for depth_m in self.steps.depths.known])
        return np.take(self.chances.clean(beyond, dived).T, depths, axis=1)
