"""The best run order of a boat of up to 8 dives, proved: every order is looked at or ruled out by a bound.

Written for the tests alone, by another method than the phone's: depth first, with a table of what the line costs at
the least and states that were met before.
"""

from __future__ import annotations

from functools import cache
from itertools import combinations
from typing import Any

from support.crew_rules import Boat, exact

Json = dict[str, Any]
Worth = tuple[int, int, int, int, int]
NONE = (10**9, 0, 0)


def best_worth(boat: Boat) -> Worth:
    """Return what the best order is worth: dives left out, changes, tenths of metres, waiting, fairness."""
    possible = [name for name in boat.coming if not boat.is_out(boat.dives[name])]
    sets = [chosen for count in range(len(possible) + 1) for chosen in combinations(possible, count)]
    found: Worth | None = None
    for lost, out in sorted((boat.loss(out), out) for out in sets):
        if found and lost > found[0]:
            break
        rest = _Exact(boat, [name for name in possible if name not in out], found and found[1:]).best()
        if rest:
            found = (lost, *rest)
    assert found is not None  # an empty list breaks no rule
    return found


class _Exact:
    def __init__(self, boat: Boat, names: list[str], beat: tuple[int, ...] | None) -> None:
        self.boat, self.names = boat, names
        self.dives = [boat.dives[name] for name in names]
        self.people = sorted(boat.people)
        self.places = {names.index(name): place - 1 for name, place in boat.places(names).items()}
        self.full = (1 << len(names)) - 1
        self.beat = beat  # only better than this counts
        self.found: tuple[int, ...] | None = None
        self.seen: dict[Any, list[Any]] = {}
        self.options = [self._options(dive) for dive in self.dives]
        self.line = cache(self._line)

    def best(self) -> tuple[int, ...] | None:
        """Return changes, tenths of metres, waiting and fairness of the best order, or None: nothing is better."""
        boat = self.boat
        state = [
            [known[name] for name in self.people] for known in (boat.free, boat.deep_free, boat.rested, boat.duties)
        ]
        self._grow(0, -1, boat.line_free, (0, 0, 0), state)
        return self.found

    def _options(self, dive: Json) -> list[tuple[int, ...]]:
        named = dive["safety"] or []
        others = [name for name in self.boat.able(dive) if name not in named]
        chosen = combinations(others, max(0, self.boat.need(dive) - len(named)))
        return [tuple(self.people.index(name) for name in (*named, *more)) for more in chosen]

    def _next(self, done: int) -> list[int]:
        place = done.bit_count()
        pinned = [dive for dive, at in self.places.items() if at == place]
        free = [dive for dive in range(len(self.dives)) if not done >> dive & 1 and dive not in self.places]
        return [dive for dive in pinned or free if not self._waits(dive, done)]

    def _waits(self, dive: int, done: int) -> bool:
        """Tell whether the diver has another dive to do first: a warm-up before the deep one, that before drills."""
        mine = self.dives[dive]
        left = [self.dives[at] for at in self._left(done) if self.dives[at]["person"] == mine["person"]]
        if mine["deep"] is True:
            return any(other.get("warm_up") for other in left)
        return mine["deep"] is False and any(other["deep"] is True for other in left)

    def _move(self, last: int, dive: int) -> tuple[int, int, int]:
        from_m = self.boat.line_m if last < 0 else self.dives[last]["depth_m"]
        to_m = self.dives[dive]["depth_m"]
        moved = 0 if from_m is None else int(10 * abs(exact(to_m) - exact(from_m)))
        return int(moved > 0), moved, self.boat.set_up(from_m, to_m)

    def _line(self, done: int, last: int) -> tuple[int, int, int]:
        """Return the least changes and metres that are still to come, and the longest set-ups (below 0) with these."""
        if done == self.full:
            return (0, 0, 0)
        ways = [NONE]
        for dive in self._next(done):
            (changes, moved, set_up), rest = self._move(last, dive), self.line(done | 1 << dive, dive)
            ways.append((changes + rest[0], moved + rest[1], rest[2] - set_up))
        return min(ways)

    def _grow(self, done: int, last: int, end: int, sums: tuple[int, int, int], state: list[list[int]]) -> None:
        rest = self.line(done, last)
        if self._is_hopeless(done, end, sums, rest, state) or self._is_beaten(done, last, end, sums, state):
            return
        if done == self.full:
            self.found = (*sums, sum(count * count for count in state[3]))
            return
        for dive in sorted(self._next(done), key=lambda one: self._move(last, one)):
            for begins, ready, safety in sorted(self._starts(dive, last, end, state)):
                changes, moved, _ = self._move(last, dive)
                grown = (sums[0] + changes, sums[1] + moved, sums[2] + begins - ready)
                ends = begins + self.dives[dive]["half_minutes"]
                self._grow(done | 1 << dive, dive, ends, grown, self._after(dive, ends, safety, state))

    def _starts(self, dive: int, last: int, end: int, state: list[list[int]]) -> list[tuple[int, int, tuple[int, ...]]]:
        mine, (free, deep, rested, _) = self.dives[dive], state
        diver = self.people.index(mine["person"])
        ready = max(self.boat.raw["at"], end + self._move(last, dive)[2])
        own = max(ready, free[diver], deep[diver] if self.boat.beyond(mine) else 0)
        found = [(max([own, *[rested[one] for one in safety]]), ready, safety) for safety in self.options[dive]]
        fixed = mine["fixed_at"]
        return found if fixed is None else [(fixed, *others) for begins, *others in found if begins <= fixed]

    def _after(self, dive: int, ends: int, safety: tuple[int, ...], state: list[list[int]]) -> list[list[int]]:
        free, deep, rested, duties = (list(known) for known in state)
        mine, rest = self.dives[dive], self.boat.rest
        diver = self.people.index(mine["person"])
        free[diver] = max(free[diver], ends + mine["pause"])
        if self.boat.beyond(mine):
            rested[diver] = max(rested[diver], ends + rest)
        for one in safety:
            deep[one] = max(deep[one], ends + rest)
            duties[one] += 1
        return [free, deep, rested, duties]

    def _is_hopeless(
        self, done: int, end: int, sums: tuple[int, int, int], rest: tuple[int, int, int], state: list[list[int]]
    ) -> bool:
        """Tell whether nothing that follows can be better than what was found."""
        if rest == NONE or any(self._too_late(at, end, state) for at in self._left(done)):
            return True
        known = [one for one in (self.beat, self.found) if one]
        if not known:
            return False
        line = (sums[0] + rest[0], sums[1] + rest[1])
        best = min(known)
        if line != best[:2]:
            return line > best[:2]
        return (*line, sums[2] + self._idle(done, end, -rest[2], state), self._fair(done, state[3])) >= best

    def _left(self, done: int) -> list[int]:
        return [at for at in range(len(self.dives)) if not done >> at & 1]

    def _too_late(self, at: int, end: int, state: list[list[int]]) -> bool:
        fixed = self.dives[at]["fixed_at"]
        diver = self.people.index(self.dives[at]["person"])
        return fixed is not None and fixed < max(end, state[0][diver])

    def _idle(self, done: int, end: int, set_ups: int, state: list[list[int]]) -> int:
        """Return the least waiting to come: somebody's own dives and pauses may take longer than the line does."""
        left = [self.dives[at] for at in self._left(done)]
        busy = end + set_ups + sum(dive["half_minutes"] for dive in left)
        lasts = [busy]
        for at, name in enumerate(self.people):
            for from_, mine in (
                (state[0][at], [dive for dive in left if dive["person"] == name]),
                (state[1][at], [dive for dive in left if dive["person"] == name and self.boat.beyond(dive)]),
            ):
                if mine:
                    pauses = sorted(dive["pause"] for dive in mine)[:-1]
                    lasts.append(from_ + sum(dive["half_minutes"] for dive in mine) + sum(pauses))
        return max(lasts) - busy

    def _fair(self, done: int, duties: list[int]) -> int:
        """Return the least sum of squares: each duty to come for whoever has the fewest then."""
        counts = sorted(duties)
        for _ in range(sum(len(self.options[at][0]) for at in self._left(done))):
            counts[0] += 1
            counts.sort()
        return sum(count * count for count in counts)

    def _is_beaten(self, done: int, last: int, end: int, sums: tuple[int, int, int], state: list[list[int]]) -> bool:
        """Tell whether a state of the same dives was met that is nowhere worse; remember this one if not."""
        depth = self.boat.line_m if last < 0 else self.dives[last]["depth_m"]
        now = (*sums, end, *[max(end, moment) for known in state[:3] for moment in known])
        met = self.seen.setdefault((done, depth, tuple(state[3])), [])
        if any(all(a <= b for a, b in zip(other, now, strict=True)) for other in met):
            return True
        met.append(now)
        return False
