"""How likely each place of one ladder is, together with what the pause since the last dive asks for.

Pairs that are alike from now on are one. All points of the grid are carried along at once.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from .chances import Floats
from .numbers import Ints

# Shares of what may be taken together: a pair that is less likely goes with another pause, or is left out altogether.
SMALL, LEAST = 1e-2, 1e-4


@dataclass(frozen=True)
class Spread:
    """How likely each pair of a ladder's place and a pause is: a column of `share` for each pair.

    A row of it has one point of the grid; each row sums to 1. `waited` are days that passed and that no ladder's place
    counts yet.
    """

    ladders: Ints
    pauses: Ints
    share: Floats
    waited: int = 0

    def gathered(self) -> Spread:
        """Return the spread in which equal pairs are one."""
        width = int(self.pauses.max()) + 1
        unique, at = numbered(self.ladders * width + self.pauses)
        return Spread(unique // width, unique % width, summed(self.share, at, len(unique)), self.waited)


@dataclass(frozen=True)
class Parts:
    """Parts of one spread before they are added up: `each` tells how likely each pair is over all points."""

    ladders: Ints
    pauses: Ints
    each: Floats

    def targets(self, most: float, stands: Callable[[Ints], Ints]) -> tuple[Ints, Ints, Ints]:
        """Return the pairs of the sum, and which of them each part goes to: one past the last where it is left out.

        The least likely pairs, together at most so likely, go with the likeliest pair at the same depth, with the same
        goals (`stands` numbers both) and, where it is likely enough, the same pause.
        """
        width = int(self.pauses.max()) + 1
        unique, at = numbered(self.ladders * width + self.pauses)
        ladders, pauses = unique // width, unique % width
        each = _sums(at, self.each, len(unique))
        if most == 0:
            return ladders, pauses, at
        to = _taken_together(each, most, stands(ladders), pauses)
        kept = np.flatnonzero(_sums(to, each, len(each)) > LEAST * most)
        which = np.full(len(each), len(kept))
        which[kept] = np.arange(len(kept))
        return ladders[kept], pauses[kept], which[to][at]


def _taken_together(each: Floats, most: float, stands: Ints, pauses: Ints) -> Ints:
    """Return for each pair the one with which it goes."""
    order = np.argsort(each)
    few = order[: np.searchsorted(np.cumsum(each[order]), most)]
    first = _with_likeliest(order, few, stands * (int(pauses.max()) + 1) + pauses)
    each = _sums(first, each, len(each))
    return _with_likeliest(np.argsort(each), np.flatnonzero(each < SMALL * most), stands)[first]


def _with_likeliest(order: Ints, few: Ints, alike: Ints) -> Ints:
    """Return for each pair itself, or for few the likeliest that is alike; `order` has the likeliest last."""
    likeliest = np.zeros(int(alike.max()) + 1, np.int64)
    likeliest[alike[order]] = order  # the last one stays
    to = np.arange(len(order))
    to[few] = likeliest[alike[few]]
    return to


def _sums(at: Ints, each: Floats, count: int) -> Floats:
    """Return the sums of what goes to the same one of `count`."""
    return np.bincount(at, each, count).astype(np.float64, copy=False)


def numbered(codes: Ints) -> tuple[Ints, Ints]:
    """Return the different codes in their order, and which of them each one is. Codes are small whole numbers."""
    is_met = np.zeros(int(codes.max()) + 1, np.bool_)
    is_met[codes] = True
    unique = np.flatnonzero(is_met)
    which = np.empty(len(is_met), np.int64)
    which[unique] = np.arange(len(unique))
    return unique, which[codes]


def summed(share: Floats, at: Ints, count: int) -> Floats:
    """Return the sums of the columns that go to the same one of `count`."""
    found = np.empty((len(share), count))
    for row, values in zip(found, share, strict=True):
        row[:] = np.bincount(at, values, count)
    return found
