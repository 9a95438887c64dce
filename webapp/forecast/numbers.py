"""Whole numbers for places, and tables of answers by number: each is worked out once, and then looked up at once."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import Generic, TypeVar

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]
Place = TypeVar("Place", bound=Hashable)
UNKNOWN = -1


class Places(Generic[Place]):
    """Gives every place a number, in the order in which they are met."""

    def __init__(self) -> None:
        self.known: list[Place] = []
        self.numbers: dict[Place, int] = {}

    def number(self, place: Place) -> int:
        """Return the number of a place."""
        number = self.numbers.setdefault(place, len(self.known))
        if number == len(self.known):
            self.known.append(place)
        return number


class Table:
    """The answer for each number, which is a number too."""

    def __init__(self, find: Callable[[int], int]) -> None:
        self.find = find
        self.known: Ints = np.full(256, UNKNOWN, np.int64)

    def of(self, keys: Ints) -> Ints:
        """Return the answer for each key."""
        try:
            found = self.known[keys]
        except IndexError:
            self.known = np.append(self.known, np.full(int(keys.max()) + 1, UNKNOWN, np.int64))
            found = self.known[keys]
        missing = np.flatnonzero(found < 0)
        if len(missing) == 0:
            return found
        for key in np.unique(keys[missing]).tolist():
            self.known[key] = self.find(key)
        return self.known[keys]


class Table2:
    """The answer for each pair of numbers, which is a number too."""

    def __init__(self, find: Callable[[int, int], int]) -> None:
        self.find = find
        self.known: Ints = np.full((256, 32), UNKNOWN, np.int64)

    def of(self, keys: Ints, others: Ints) -> Ints:
        """Return the answer for each pair of keys."""
        try:
            found = self.known[keys, others]
        except IndexError:
            self._grow(int(keys.max()), int(others.max()))
            found = self.known[keys, others]
        missing = np.flatnonzero(found < 0)
        if len(missing) == 0:
            return found
        width = self.known.shape[1]
        for pair in np.unique(keys[missing] * width + others[missing]).tolist():
            self.known[pair // width, pair % width] = self.find(pair // width, pair % width)
        return self.known[keys, others]

    def _grow(self, most: int, other: int) -> None:
        rows, columns = self.known.shape
        wider = np.full((max(rows, 2 * most), max(columns, 2 * other)), UNKNOWN, np.int64)
        wider[:rows, :columns] = self.known
        self.known = wider
