"""How likely each place of one ladder is, together with what the pause since the last dive asks for.

Pairs that are alike from now on are one. All points of the grid are carried along at once.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from .chances import Floats
from .numbers import Ints

LEAST = 1e-3  # of what may be left out: rungs that are less likely than this are left out altogether


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

    def likely(self, weight: Floats, left_out: float, alike: Ints) -> Spread:
        """Return the spread in which the least likely pairs, together at most so likely, are one with a likely pair.

        `alike` has a number for each pair: those with the same number stand at the same depth.
        """
        each = weight @ self.share
        order = np.argsort(each)
        few = order[: np.searchsorted(np.cumsum(each[order]), left_out)]
        if len(few) == 0:
            return self
        likeliest = np.zeros(int(alike.max()) + 1, np.int64)
        likeliest[alike[order]] = order  # the last one stays: the likeliest
        to = np.arange(len(each))
        to[few] = likeliest[alike[few]]
        kept, at = numbered(to)
        share = summed(self.share, at, len(kept))
        there = weight @ share > LEAST * left_out
        kept, share = kept[there], share[:, there]
        return Spread(self.ladders[kept], self.pauses[kept], share / share.sum(axis=1)[:, None])


def joined(parts: Sequence[Spread]) -> Spread:
    """Return spreads that are parts of one."""
    ladders, pauses = (np.concatenate([getattr(part, name) for part in parts]) for name in ("ladders", "pauses"))
    return Spread(ladders, pauses, np.concatenate([part.share for part in parts], axis=1)).gathered()


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
