"""The exact spread of one ladder over its dated dive days: every place it may be at, and how likely, for each point of
the grid at once.

Nothing is sampled. Places that are alike from now on are taken together, so the work grows with the number of days.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass, field
from typing import Any, Generic, TypeVar

import numpy as np
from numpy.typing import NDArray

from ..planner.reader.boat_day import Said
from .chances import Chances, Floats, Scale
from .walk import CLEAN, HARD, TAXING, Ladder, Opened, Outcome, Pause, Walk

Ints = NDArray[np.int64]
Place = TypeVar("Place", bound=Hashable)
BASE = 1 << 24  # more places than any season has


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


class Places(Generic[Place]):
    """Gives every place a number, in the order in which they are met."""

    def __init__(self) -> None:
        self.known: list[Place] = []
        self.numbers: dict[Place, int] = {}

    def number(self, place: Place) -> int:
        """Return the number of a place."""
        number = self.numbers.get(place)
        if number is None:
            number = self.numbers[place] = len(self.known)
            self.known.append(place)
        return number


@dataclass
class Spread:
    """How likely each pair of a ladder's place and a pause is: `codes` names the pairs, `share` has a row for each.

    A row has a column for each point of the grid; each column sums to 1.
    """

    codes: Ints
    share: Floats

    def gathered(self, codes: Ints, share: Floats) -> Spread:
        """Return a spread in which equal pairs are one row."""
        order = np.argsort(codes, kind="stable")
        codes, share = codes[order], share[order]
        firsts = np.flatnonzero(np.r_[True, codes[1:] != codes[:-1]])
        return Spread(codes[firsts], np.add.reduceat(share, firsts, axis=0))

    def likely(self, weight: Floats, left_out: float) -> Spread:
        """Return the spread without its least likely rows, which together are at most so likely."""
        each = self.share @ weight
        order = np.argsort(each)
        kept = np.sort(order[np.searchsorted(np.cumsum(each[order]), left_out) :])
        share = self.share[kept]
        return Spread(self.codes[kept], share / share.sum(axis=0))


@dataclass
class Course:
    """The ladder of one discipline while it is the main one. Tables of steps are filled in as places are met.

    `left_out` is how likely the rows that are left out after a day may be, all together.
    """

    walk: Walk
    chances: Chances
    scale: Scale
    pauses: Places[Pause]
    turned: Outcome
    left_out: float
    ladders: Places[Ladder] = field(default_factory=Places)
    opens: Places[tuple[int, int]] = field(default_factory=Places)
    opened: list[Opened] = field(default_factory=list)
    depths_mm: list[int] = field(default_factory=list)
    opens_to: dict[int, int] = field(default_factory=dict)
    tables: dict[str, dict[int, Any]] = field(default_factory=dict)

    def begins(self, places: Sequence[tuple[Ladder, Pause]]) -> Spread:
        """Return a spread that begins at one of some places, for all points alike."""
        codes = [self.ladders.number(ladder) * BASE + self.pauses.number(pause) for ladder, pause in places]
        share = np.full((len(codes), len(self.chances.weight)), 1 / len(codes))
        return Spread(np.array(codes, np.int64), share)

    def aged(self, spread: Spread, days: int) -> Spread:
        """Return the spread so many days later."""
        if days == 0:
            return spread
        ladder = self._looked_up("aged", spread.codes // BASE, days, self._aged)
        pause = self._looked_up("rested", spread.codes % BASE, days, self._rested)
        return spread.gathered(ladder * BASE + pause, spread.share)

    def after(self, spread: Spread, slot: Slot) -> tuple[Spread, float, float, float]:
        """Return the spread after a dive day, the chance of a deep dive, that of one not clean, and the mean depth."""
        if slot.is_stopped:
            return spread, 0.0, 0.0, 0.0
        opens = self._opens(spread.codes, slot.said)
        easy = self._looked_up_two("easy", spread.codes % BASE, self._depths(opens), self._is_easy).astype(bool)
        share, opens, codes = spread.share[~easy] * (1 - slot.lost), opens[~easy], spread.codes[~easy]
        if len(codes) == 0:
            return spread, 0.0, 0.0, 0.0
        depths = self._depths(opens)
        clean = self._clean(depths)
        chances, weight = self.chances, self.chances.weight
        moves = [
            (CLEAN, share * clean * (1 - chances.taxing)), (TAXING, share * clean * chances.taxing),
            (HARD, share * (1 - clean) * chances.hard), (self.turned, share * (1 - clean) * (1 - chances.hard)),
        ]  # fmt: skip
        ladders, pauses = spread.codes // BASE, spread.codes % BASE
        seen = self._looked_up_two("seen", ladders, pauses, self._seen) * BASE + pauses
        stays = (seen, np.where(easy[:, None], 1.0, slot.lost) * spread.share)
        moved = [(self._moved(codes, opens, depths, outcome), part) for outcome, part in moves]
        codes, shares = (np.concatenate(parts) for parts in zip(stays, *moved, strict=True))
        each = share @ weight
        bad, mean_m = float((share * (1 - clean)).sum(axis=0) @ weight), float(each @ depths / each.sum() / 1000)
        after = spread.gathered(codes, shares).likely(weight, self.left_out)
        return after, float(each.sum()), bad, mean_m

    def rested_by(self, spread: Spread, said: Said) -> Spread:
        """Return the spread after a day that the diver called off."""
        pause = self._looked_up(f"off {said.no_diving}", spread.codes % BASE, 0, lambda at, _: self._off(at, said))
        return spread.gathered(spread.codes // BASE * BASE + pause, spread.share)

    def stands(self, spread: Spread) -> tuple[dict[float, float], dict[int, float]]:
        """Return the chance of each depth at which the ladder stands, and of each number of goals reached."""
        ladders, each = spread.codes // BASE, spread.share @ self.chances.weight
        unique, inverse = np.unique(ladders, return_inverse=True)
        shares = np.bincount(inverse, weights=each)
        rungs: dict[float, float] = {}
        goals: dict[int, float] = {}
        for at, share in zip(unique.tolist(), shares.tolist(), strict=True):
            ladder = self.ladders.known[at]
            depth_m = self.walk.rung_m(ladder.standing.rung)
            rungs[depth_m] = rungs.get(depth_m, 0.0) + share
            goals[ladder.goals] = goals.get(ladder.goals, 0.0) + share
        return dict(sorted(rungs.items())), dict(sorted(goals.items()))

    def _clean(self, depths: Ints) -> Floats:
        unique, inverse = np.unique(depths, return_inverse=True)
        beyond = np.array([self.scale.beyond(self._depth_of(at)) for at in unique])
        return self.chances.clean(beyond)[inverse]

    def _moved(self, codes: Ints, opens: Ints, depths: Ints, outcome: Outcome) -> Ints:
        name = f"{outcome.verdict} {outcome.taxes}"
        ladder = self._looked_up(f"climb {outcome.verdict}", opens, 0, lambda at, _: self._climbed(at, outcome))
        pause = self._looked_up_two(
            f"pause {name}", codes % BASE, depths, lambda one, mm: self._paused(one, mm, outcome)
        )
        return ladder * BASE + pause

    def _opens(self, codes: Ints, said: Said) -> Ints:
        """Return what each pair opens a day with, as numbers of `opened`."""
        return self._looked_up_two(f"open {id(said)}", codes // BASE, self._kinds(codes % BASE), self._open(said))

    def _open(self, said: Said) -> Callable[[int, int], int]:
        def opened(ladder: int, pause: int) -> int:
            place, asked = self.ladders.known[ladder], self.pauses.known[pause]
            found = self.walk.opened(place, asked, said)
            self.opened.append(found)
            self.opens.known.append((ladder, pause))
            self.depths_mm.append(round(found.depth_m * 1000))
            self.opens_to.setdefault(self.depths_mm[-1], len(self.opened) - 1)
            return len(self.opened) - 1

        return opened

    def _kinds(self, pauses: Ints) -> Ints:
        """Return for each pause the first one that opens a day in the same way: spacing plays no part in it."""
        return self._looked_up("kind", pauses, 0, self._kind)

    def _kind(self, pause: int, _: int) -> int:
        return self.pauses.number(self.walk.kind(self.pauses.known[pause]))

    def _depths(self, opens: Ints) -> Ints:
        """Return the depth that is opened in millimetres: a whole number that names it."""
        return np.array(self.depths_mm, np.int64)[opens]

    def _depth_of(self, depth_mm: int) -> float:
        return float(depth_mm) / 1000

    def _is_easy(self, pause: int, depth_mm: int) -> int:
        return int(self.walk.is_easy(self.pauses.known[pause], self._depth_of(depth_mm)))

    def _climbed(self, at: int, outcome: Outcome) -> int:
        ladder, pause = self.opens.known[at]
        after = self.walk.ladder_after(self.ladders.known[ladder], self.pauses.known[pause], self.opened[at], outcome)
        return self.ladders.number(after)

    def _paused(self, pause: int, depth_mm: int, outcome: Outcome) -> int:
        at = self.opens_to[depth_mm]
        ladder = self.ladders.known[self.opens.known[at][0]]
        after = self.walk.pause_after(ladder, self.pauses.known[pause], self.opened[at], outcome)
        return self.pauses.number(after)

    def _off(self, pause: int, said: Said) -> int:
        return self.pauses.number(self.walk.off(self.pauses.known[pause], said))

    def _seen(self, ladder: int, pause: int) -> int:
        has_dived = self.pauses.known[pause].gap is not None  # before the first deep dive the run-in asks for the days
        return self.ladders.number(self.walk.seen(self.ladders.known[ladder])) if has_dived else ladder

    def _aged(self, ladder: int, days: int) -> int:
        return self.ladders.number(self.walk.aged(self.ladders.known[ladder], days))

    def _rested(self, pause: int, days: int) -> int:
        return self.pauses.number(self.walk.rested(self.pauses.known[pause], days))

    def _looked_up(self, name: str, keys: Ints, other: int, find: Callable[[int, int], int]) -> Ints:
        """Return the answer for each key, asked for once each."""
        table = self.tables.setdefault(f"{name} {other}", {})
        unique, inverse = np.unique(keys, return_inverse=True)
        for key in unique.tolist():
            if key not in table:
                table[key] = find(key, other)
        return np.array([table[key] for key in unique.tolist()], np.int64)[inverse]

    def _looked_up_two(self, name: str, keys: Ints, others: Ints, find: Callable[[int, int], int]) -> Ints:
        """Return the answer for each pair of keys, asked for once each."""
        return self._looked_up(name, keys * BASE + others, 0, lambda pair, _: find(pair // BASE, pair % BASE))
