"""Invented divers who dive what the plan says: a response model, to compare rules with each other.

The model is our own assumption and says nothing about real divers. A diver has a hidden capacity in metres:

- the chance of a clean dive falls with the depth as a logistic curve around the capacity of the day
- the capacity of a day varies by some percent; on one day in ten the ears do not work
- each clean dive near the capacity lets it grow a little; days without a deep dive let it shrink
- harm (an LMC, rarely a blackout) comes only well beyond the capacity of the day, and by a small chance
"""

from __future__ import annotations

import math
from collections.abc import Container, Mapping
from dataclasses import dataclass
from random import Random
from typing import Any

from support.seasons import dive
from webapp.planner.reader.ladder import read

WIDTH = 0.05  # of the capacity: the width of the logistic curve, and how far beyond it harm begins
CLEAN_AT_CAPACITY = 1.0  # on the logistic scale: 73 % of the dives at the capacity of the day are clean
FORM = 0.03  # standard deviation of a day's capacity, as a share of it
BAD_EARS = 0.1  # share of days
NEAR, GROWS = 0.85, 0.003  # a clean dive to this share of the capacity lets it grow by this share
KEEPS_DAYS, SHRINKS, LEAST = 7, 0.0025, 0.6  # after these days away it shrinks by this share a day, to this at least
HARM, MOST_HARM, BLACKOUTS = 0.03, 0.25, 0.1  # chance for each width beyond the first one, at most, and how many worse
HARD_AT, HIGHEST_CLEAN = 8, 7  # effort of a hard dive, and the most of a clean one


@dataclass(frozen=True)
class Deed:
    """One deep dive as it went, beside what the diver could do on that day without its ups and downs."""

    n: int
    target_m: float
    capacity_m: float
    verdict: str

    @property
    def beyond_m(self) -> float:
        """How much deeper than the capacity the target was, in metres; 0 at least."""
        return max(0.0, self.target_m - self.capacity_m)


class Diver:
    """A diver with a hidden capacity. Chance is drawn day by day, so that each rule meets the same days."""

    def __init__(self, capacity_m: float, seed: str, days: int) -> None:
        self.first_m = self.capacity_m = capacity_m
        self.deep_n = 0
        chance = Random(seed)
        self.chances = [(chance.gauss(0, 1), *(chance.random() for _ in range(5))) for _ in range(days)]

    def wakes(self, n: int) -> None:
        """Begin day `n`: after some days without a deep dive the capacity shrinks."""
        if n - self.deep_n > KEEPS_DAYS:
            self.capacity_m = max(LEAST * self.first_m, self.capacity_m * (1 - SHRINKS))

    def dives(self, n: int, target_m: float) -> dict[str, Any]:
        """Return how a dive of day `n` to this target went, as fields of its record."""
        form, ears, clean, harm, worse, share = self.chances[n]
        margin = (self.capacity_m * (1 + FORM * form) - target_m) / (WIDTH * self.capacity_m)
        self.deep_n = n
        if harm < min(MOST_HARM, HARM * max(0.0, -margin - 1)):
            return {"reached_m": target_m, "signs": ["blackout" if worse < BLACKOUTS else "lmc"]}
        if ears < BAD_EARS:
            return {"reached_m": _turned(target_m, share), "turned_why": "ears"}
        if clean < 1 / (1 + math.exp(-margin - CLEAN_AT_CAPACITY)):
            self._adapts(target_m)
            return {"reached_m": target_m, "effort": min(HIGHEST_CLEAN, max(1, round(4 - margin)))}
        if worse < 1 / 2:
            return {"reached_m": target_m, "effort": HARD_AT}
        return {"reached_m": _turned(target_m, share), "turned_why": "mind"}

    def _adapts(self, target_m: float) -> None:
        if target_m >= NEAR * self.capacity_m:
            self.capacity_m *= 1 + GROWS


def _turned(target_m: float, share: float) -> float:
    return round(target_m * (0.6 + 0.35 * share), 1)


def dived(
    sheet: dict[str, Any], diver: Diver, log: list[dict[str, Any]] | None = None, lost: Container[int] = ()
) -> list[Deed]:
    """Dive a season by its plan: each morning the plan is read, its deep dive made and logged; return the dives.

    `log` grows by their records. On the days of `lost` nobody dives.
    """
    log = [] if log is None else log
    deeds = []
    for n, slot in enumerate(sheet["days"]):
        diver.wakes(n)
        if slot["kind"] != "dive" or n in lost:
            continue
        past = [one for one in sheet["days"][: n + 1] if one["kind"] == "dive"]  # other days say nothing, and cost time
        target = _morning({**sheet, "days": past}, log, slot["date"])
        if target is not None:
            capacity_m = diver.capacity_m
            fields = {"discipline": target["discipline"], "target_m": target["target_m"]}
            record = dive(id=f"d{n:03}", date=slot["date"], at="10:00", **fields, **diver.dives(n, target["target_m"]))
            log.append(record)
            deeds.append(Deed(n, target["target_m"], capacity_m, _verdict(record)))
    return deeds


def _morning(sheet: dict[str, Any], log: list[dict[str, Any]], today: str) -> dict[str, Any] | None:
    """Return the deep dive of today's plan; a doctor clears the diver as soon as a stand-down allows it."""
    plan = read(sheet, log, today)
    stop = plan["stand_down"]
    if stop and stop["until"] <= today:
        log.append({"id": f"c{today}", "kind": "clearance", "clearance": today, "by": "Dr. Invented"})
        plan = read(sheet, log, today)
    return next((one for one in plan["days"][-1]["dives"] if one["role"] == "deep"), None)


def _verdict(record: Mapping[str, Any]) -> str:
    """Return what the dive was: its sign, else turned, hard or clean."""
    if record["signs"]:
        return str(record["signs"][0])
    if record["reached_m"] < record["target_m"]:
        return "turned"
    return "hard" if (record["effort"] or 0) >= HARD_AT else "clean"
