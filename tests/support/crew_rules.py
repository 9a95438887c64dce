"""The rules of a run order, written down a second time: what is wrong with an order, and what it is worth.

Nothing here is shared with the phone's code. All metres are Fractions, all moments whole half minutes.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from itertools import pairwise
from math import ceil
from typing import Any

Json = dict[str, Any]
REST, DEEP, TWO = "crew.safety_rest", "crew.deep_m", "crew.two_safeties_m"


def exact(number: float) -> Fraction:
    """Return a typed number as it was typed."""
    return Fraction(str(number))


class Boat:
    """An invented boat with its rules, by id."""

    def __init__(self, boat: Json, limits: Json) -> None:
        self.raw, self.limits = boat, limits
        self.people = {one["id"]: one for one in boat["people"]}
        self.dives = {one["id"]: one for one in boat["dives"]}
        running = boat["running"]
        self.coming = sorted(name for name in self.dives if not running or name != running["dive"])
        self.rest = ceil(2 * exact(limits[REST]))
        self.free = {name: one["free_from"] for name, one in self.people.items()}
        self.deep_free = {name: max(one["free_from"], one.get("deep_from", 0)) for name, one in self.people.items()}
        self.rested = {name: one["rested_from"] for name, one in self.people.items()}
        self.duties = {name: one["safety_count"] for name, one in self.people.items()}
        self.line_m: float | None = boat["line"]["depth_m"]
        self.line_free = boat["line"].get("free_from", boat["at"])
        if running:
            self._run(running)

    def _run(self, running: Json) -> None:
        dive = self.dives[running["dive"]]
        self.line_m, self.line_free = dive["depth_m"], max(self.raw["at"], running["began"] + dive["half_minutes"])
        self.after(dive, self.line_free, running["safety"], self.free, self.deep_free, self.rested, self.duties)

    def after(
        self, dive: Json, ends: int, safety: Iterable[str], free: Json, deep: Json, rested: Json, duties: Json
    ) -> None:
        """Change what is known of everybody to what holds after a dive."""
        diver = dive["person"]
        free[diver] = max(free[diver], ends + dive["pause"])
        if self.beyond(dive):
            rested[diver] = max(rested[diver], ends + self.rest)
        for name in safety:
            deep[name] = max(deep[name], ends + self.rest)
            duties[name] += 1

    def here(self, name: str) -> bool:
        """Tell whether somebody dives and is safety at all."""
        return name in self.people and self.people[name]["ready"] and not self.people[name]["day_over"]

    def beyond(self, dive: Json) -> bool:
        """Tell whether a dive asks for rest before and after safety duty."""
        return bool(dive["depth_m"] > self.limits[DEEP])

    def need(self, dive: Json) -> int:
        """Return how many safety divers a dive has at least."""
        return 2 if dive["depth_m"] > self.limits[TWO] else 1

    def can_meet(self, name: str, dive: Json) -> bool:
        """Tell whether somebody may go to where the diver is met: to a tenth of a metre, rounded down to deeper."""
        own = self.people[name]["may_meet_m"]
        share = ceil(exact(self.limits["safety.meet_share"]) * exact(dive["depth_m"]) * 10)
        return own is not None and 10 * exact(own) >= min(share, 10 * exact(self.limits["safety.meet_most_m"]))

    def able(self, dive: Json) -> list[str]:
        """Return who could be safety of a dive."""
        return [name for name in sorted(self.people) if name != dive["person"] and self.here(name)
                and self.can_meet(name, dive)]  # fmt: skip

    def set_up(self, from_m: float | None, to_m: float) -> int:
        """Return the half minutes from the end of a dive until the line is set."""
        moved = 0 if from_m is None else abs(exact(to_m) - exact(from_m))
        per_m, fixed = exact(self.limits["crew.set_up_each_metre"]), exact(self.limits["crew.set_up_s"])
        return ceil((fixed + per_m * moved) / 30)

    def is_out(self, dive: Json) -> bool:
        """Tell whether a dive is left out before any order is looked for: nobody is to dive it, or to be safety."""
        named = dive["safety"] or []
        able = self.able(dive) if dive["person"] in self.people else []
        return not self.here(dive["person"]) or not set(named) <= set(able) or len(able) < self.need(dive)

    def places(self, names: Iterable[str]) -> dict[str, int]:
        """Return where pinned dives stand among these: two on one place follow each other, none behind the end."""
        chosen = sorted(names)
        pinned = sorted((self.dives[name]["pinned"], name) for name in chosen if self.dives[name]["pinned"])
        found: list[int] = []
        for wanted, _ in pinned:
            found.append(max(wanted, found[-1] + 1 if found else 1))
        for back in range(1, len(found) + 1):
            found[-back] = min(found[-back], len(chosen) + 1 - back)
        return {name: place for (_, name), place in zip(pinned, found, strict=True)}

    def loss(self, names: Iterable[str]) -> int:
        """Return what it counts to leave these dives out."""
        dives = [self.dives[name] for name in names]
        return sum(100 + (one["fixed_at"] is not None) - (one["pinned"] is not None) for one in dives)


def worth(boat: Boat, order: Json) -> tuple[int, int, int, int, int]:
    """Return what an order is worth, counted anew: dives left out, changes, tenths of metres, waiting, fairness."""
    rows = [row for row in order["rows"] if row["dive"] in boat.coming]
    lost = [name for name in boat.coming if name not in {row["dive"] for row in rows}]
    depths = [boat.line_m, *[boat.dives[row["dive"]]["depth_m"] for row in rows]]
    moves = [abs(exact(b) - exact(a)) for a, b in pairwise(depths) if a is not None]
    duties = dict(boat.duties)
    for row in rows:
        for name in row["safety"]:
            duties[name] += 1
    loss = boat.loss(name for name in lost if not boat.is_out(boat.dives[name]))
    wait, fairness = sum(waits(boat, rows)), sum(count * count for count in duties.values())
    return loss, sum(map(bool, moves)), int(10 * sum(moves)), wait, fairness


def waits(boat: Boat, rows: list[Json]) -> list[int]:
    """Return how long each dive waits on a line that is set."""
    found, free, at_m = [], boat.line_free, boat.line_m
    for row in rows:
        dive = boat.dives[row["dive"]]
        ready = max(boat.raw["at"], free + boat.set_up(at_m, dive["depth_m"]))
        found.append(row["begins"] - ready)
        free, at_m = row["begins"] + dive["half_minutes"], dive["depth_m"]
    return found


def faults(boat: Boat, order: Json) -> list[str]:
    """Return every rule that an order breaks, in words; an order without faults gives an empty list."""
    rows = order["rows"]
    if boat.raw["running"]:
        now, rows = rows[0], rows[1:]
        if [now["dive"], now["begins"], now["safety"]] != [
            boat.raw["running"][key] for key in ("dive", "began", "safety")
        ]:
            return ["what runs was moved"]
    named = sorted([row["dive"] for row in rows] + [one["dive"] for one in order["cannot"]])
    if named != boat.coming:
        return ["not every dive stands in the list or beside it, once"]
    found = [*_row_faults(boat, rows), *_sequence_faults(boat, rows), *_number_faults(boat, order, rows)]
    found += [f"{row['dive']} is placed, but cannot be" for row in rows if boat.is_out(boat.dives[row["dive"]])]
    return found


def _row_faults(boat: Boat, rows: list[Json]) -> list[str]:
    """Walk through the list and look at each dive with what was before it."""
    free, deep, rested, duties = dict(boat.free), dict(boat.deep_free), dict(boat.rested), dict(boat.duties)
    found = []
    for row, wait in zip(rows, waits(boat, rows), strict=True):
        dive, safety, begins = boat.dives[row["dive"]], row["safety"], row["begins"]
        diver = dive["person"]
        earliest = max([free[diver], deep[diver] if boat.beyond(dive) else 0, *[rested[name] for name in safety]])
        checks = {
            "the line is not ready": wait >= 0,
            "waits is not the waiting": row["waits"] == wait,
            "the surface interval or a rest is too short": begins >= earliest,
            "it waits for nothing": wait == 0 or begins == earliest or dive["fixed_at"] is not None,
            "ends is not the end": row["ends"] == begins + dive["half_minutes"],
            "too few safety divers": len(set(safety)) == len(safety) >= boat.need(dive),
            "more safety divers than needed": len(safety) == max(boat.need(dive), len(dive["safety"] or [])),
            "a safety diver cannot be": set(safety) <= set(boat.able(dive)),
            "a named safety diver is missing": set(dive["safety"] or []) <= set(safety),
            "the official time is not kept": dive["fixed_at"] in (None, begins),
        }
        found += [f"{row['dive']}: {says}" for says, holds in checks.items() if not holds]
        boat.after(dive, row["ends"], safety, free, deep, rested, duties)
    return found


def _sequence_faults(boat: Boat, rows: list[Json]) -> list[str]:
    names = [row["dive"] for row in rows]
    found = [
        f"{name}: not at its place" for name, place in boat.places(names).items() if names.index(name) + 1 != place
    ]
    for at, name in enumerate(names):
        dive = boat.dives[name]
        later = [boat.dives[other] for other in names[at + 1 :]]
        if dive["deep"] is False and any(one["person"] == dive["person"] and one["deep"] is True for one in later):
            found.append(f"{name}: a drill before a deep dive")
        if dive["deep"] is True and any(one["person"] == dive["person"] and one.get("warm_up") for one in later):
            found.append(f"{name}: a deep dive before a warm-up")
    return found


def _number_faults(boat: Boat, order: Json, rows: list[Json]) -> list[str]:
    _, changes, moved, wait, fairness = worth(boat, order)
    told = [order["changes"], round(10 * order["metres"]), order["wait"], order["fairness"]]
    found = [] if told == [changes, moved, wait, fairness] else [f"says {told}, is {[changes, moved, wait, fairness]}"]
    lines = [boat.line_m, *[boat.dives[row["dive"]]["depth_m"] for row in rows]]
    if [(row["line_from_m"], row["line_to_m"]) for row in rows] != list(pairwise(lines)):
        found.append("the line is not where the rows say")
    if order["removed"] != sorted(name for name, one in boat.people.items() if one["day_over"]):
        found.append("removed does not name those whose day is over")
    return found
