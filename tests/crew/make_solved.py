"""Solve invented boats with the CP-SAT solver of OR-Tools, proved optimal: `python tests/crew/make_solved.py [boats]`.

Writes solved.json beside this file: the number of each boat, a mark of what was solved, and what its best order is
worth. OR-Tools is no part of the project: install `ortools` somewhere else to run this. A boat that is not proved
within the time is left out. Boats that are in the file already are not solved again.
"""

from __future__ import annotations

import hashlib
import json
import sys
from itertools import combinations, permutations
from pathlib import Path
from typing import Any

sys.path[:0] = [str(Path(__file__).parents[2]), str(Path(__file__).parents[1])]

from support.crew_rules import Boat, exact  # noqa: E402
from support.crews import LIMITS, boat_of  # noqa: E402

SOLVED = Path(__file__).with_name("solved.json")
BOATS, MOST_DIVES, SECONDS = 200, 7, 60
FIRST = 5000  # number of the first boat
DAY = 4000  # half minutes: later than any order ends
Json = dict[str, Any]


def mark_of(boat: Json) -> str:
    """Return a short mark that changes when the boat or the rules do."""
    text = json.dumps([boat, LIMITS], sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()[:10]


def worth_of(boat: Boat) -> list[int] | None:
    """Return what the best order is worth, with as few dives left out as there is an order for; None: not proved."""
    possible = [name for name in boat.coming if not boat.is_out(boat.dives[name])]
    sets = [chosen for count in range(len(possible) + 1) for chosen in combinations(possible, count)]
    best: list[int] | None = None
    for lost, out in sorted((boat.loss(out), out) for out in sets):
        if best and lost > best[0]:
            break
        found, is_proved = Model(boat, [name for name in possible if name not in out]).solved()
        if not is_proved:
            return None
        if found and (best is None or [lost, *found] < best):
            best = [lost, *found]
    return best


class Model:
    """A boat as constraints: a tour through all dives, their starts, and who is safety."""

    def __init__(self, boat: Boat, names: list[str]) -> None:
        from ortools.sat.python import cp_model

        self.cp, self.boat = cp_model.CpModel(), boat
        self.solver = cp_model.CpSolver()
        self.solver.parameters.num_workers = 2
        self.solver.parameters.max_time_in_seconds = SECONDS
        self.states = cp_model
        self.dives = [boat.dives[name] for name in names]
        at = boat.raw["at"]
        self.start = [self.cp.new_int_var(at, DAY, "") for _ in names]
        self.place = [self.cp.new_int_var(1, max(1, len(names)), "") for _ in names]
        self.end = self.cp.new_int_var(0, 2 * DAY, "")
        self.first = {(a, b): self.cp.new_bool_var("") for a, b in combinations(range(len(names)), 2)}
        self.safety = [{name: self.cp.new_bool_var("") for name in boat.able(dive)} for dive in self.dives]
        self._tour()
        for index, dive in enumerate(self.dives):
            self._alone(index, dive)
        for a, b in permutations(range(len(names)), 2):
            self._pair(a, b)
        for name, place in boat.places(names).items():
            self.cp.add(self.place[names.index(name)] == place)

    def solved(self) -> tuple[list[int] | None, bool]:
        """Return changes, tenths of metres, waiting, fairness of the best order or None, and whether that is proved."""
        found: list[int] = []
        for goal in (self.changes, self.moved, self.wait, self._fairness()):
            self.cp.minimize(goal)
            state = self.solver.solve(self.cp)
            if state == self.states.INFEASIBLE:
                return None, True
            if state != self.states.OPTIMAL:
                return None, False
            found.append(round(self.solver.objective_value))
            self.cp.add(goal <= found[-1])
        return found, True

    def _tour(self) -> None:
        """One dive after the other, from the line as it is now (node 0)."""
        boat, count, arcs = self.boat, len(self.dives), []
        terms: list[list[Any]] = [[], [], []]
        for a in range(-1, count):
            for b in range(-1, count):
                if a == b and not (a == -1 and count == 0):
                    continue
                arc = self.cp.new_bool_var("")
                arcs.append((a + 1, b + 1, arc))
                if b < 0:
                    self._ends(a, arc)
                    continue
                from_m, to_m = boat.line_m if a < 0 else self.dives[a]["depth_m"], self.dives[b]["depth_m"]
                moved = 0 if from_m is None else int(10 * abs(exact(from_m) - exact(to_m)))
                ready = self._follows(a, b, boat.set_up(from_m, to_m), arc)
                for list_, weight in zip(terms, (int(moved > 0), moved, ready), strict=True):
                    list_.append(weight * arc)
        self.cp.add_circuit(arcs)
        self.changes, self.moved = sum(terms[0]), sum(terms[1])
        self.wait = self.end - sum(terms[2]) - sum(dive["half_minutes"] for dive in self.dives)

    def _ends(self, last: int, arc: Any) -> None:
        ends = self.start[last] + self.dives[last]["half_minutes"] if last >= 0 else 0
        self.cp.add(self.end == ends).only_enforce_if(arc)

    def _follows(self, a: int, b: int, set_up: int, arc: Any) -> int:
        """Tie b to what was before it; return what the arc takes of the time that is not waiting."""
        if a < 0:
            ready = max(self.boat.raw["at"], self.boat.line_free + set_up)
            self.cp.add(self.start[b] >= ready).only_enforce_if(arc)
            self.cp.add(self.place[b] == 1).only_enforce_if(arc)
            return ready
        ends = self.start[a] + self.dives[a]["half_minutes"]
        self.cp.add(self.start[b] >= ends + set_up).only_enforce_if(arc)
        self.cp.add(self.place[b] == self.place[a] + 1).only_enforce_if(arc)
        return set_up

    def _alone(self, index: int, dive: Json) -> None:
        boat, start, safety = self.boat, self.start[index], self.safety[index]
        diver = dive["person"]
        self.cp.add(start >= max(boat.free[diver], boat.deep_free[diver] if boat.beyond(dive) else 0))
        named = dive["safety"] or []
        self.cp.add(sum(safety.values()) == max(boat.need(dive), len(named)))
        for name in named:
            self.cp.add(safety[name] == 1)
        for name, is_safety in safety.items():
            self.cp.add(start >= boat.rested[name]).only_enforce_if(is_safety)
        if dive["fixed_at"] is not None:
            if dive["fixed_at"] < boat.raw["at"]:
                self.cp.add(start < 0)
            else:
                self.cp.add(start == dive["fixed_at"])

    def _pair(self, a: int, b: int) -> None:
        """What holds between two dives when the first of them comes first."""
        before = self.first[a, b] if a < b else self.first[b, a].negated()
        one, other = self.dives[a], self.dives[b]
        ends = self.start[a] + one["half_minutes"]
        self.cp.add(self.start[b] >= ends).only_enforce_if(before)
        if one["person"] == other["person"]:
            self.cp.add(self.start[b] >= ends + one["pause"]).only_enforce_if(before)
            if (one.get("warm_up") and other["deep"] is True) or (one["deep"] is True and other["deep"] is False):
                self.cp.add(before == 1)
        for deep, helped, index in ((one, other, b), (other, one, a)):
            is_safety = self.safety[index].get(deep["person"])
            if self.boat.beyond(deep) and is_safety is not None and helped is not deep:
                self.cp.add(self.start[b] >= ends + self.boat.rest).only_enforce_if([before, is_safety])

    def _fairness(self) -> Any:
        squares = []
        for name, before in self.boat.duties.items():
            duties = self.cp.new_int_var(before, before + len(self.dives), "")
            self.cp.add(duties == before + sum(each[name] for each in self.safety if name in each))
            squares.append(self.cp.new_int_var(0, (before + len(self.dives)) ** 2, ""))
            self.cp.add_multiplication_equality(squares[-1], [duties, duties])
        return sum(squares)


def main() -> None:
    """Solve boats until there are enough."""
    wanted = int(sys.argv[1]) if len(sys.argv) > 1 else BOATS
    solved: list[Json] = json.loads(SOLVED.read_text(encoding="utf-8")) if SOLVED.exists() else []
    number = solved[-1]["boat"] + 1 if solved else FIRST
    while len(solved) < wanted:
        boat = boat_of(number, MOST_DIVES)
        if worth := worth_of(Boat(boat, LIMITS)):
            solved.append({"boat": number, "mark": mark_of(boat), "worth": worth})
            lines = ",\n".join(json.dumps(one) for one in solved)
            SOLVED.write_text(f"[\n{lines}\n]\n", encoding="utf-8")
        print(number, worth, flush=True)
        number += 1


if __name__ == "__main__":
    main()
