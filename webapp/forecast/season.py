"""The days to come of a whole season: the ladders take turns as main discipline, and changes of the season apply.

Inside a block the spread is exact. Where the main discipline changes, the ladder that rests and the pause that both
share are taken as independent. Means count for how deep the other discipline went (it ends the time away), and for the
days of deep dives, with which the chances rise.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from copy import copy
from dataclasses import dataclass, field
from datetime import date, timedelta
from itertools import pairwise
from typing import Any

import numpy as np

from ..planner.reader.boat_day import NOTHING, Said
from ..planner.reader.ladder import Fold
from ..planner.reader.outlook import reached
from ..planner.reader.proposed import easy_why
from ..planner.reader.sentences import number
from ..planner.reader.state import State
from .chances import Chances, Floats, scale_of
from .course import Course, Slot, Told
from .numbers import Ints
from .places import Ladder, Outcome
from .spread import Spread, numbered, summed
from .steps import KnownSteps
from .walk import Walk

Json = Mapping[str, Any]
MORE_LIKELY = 0.5


@dataclass(frozen=True)
class Begin:
    """What a log leaves: the reader's state, the words for coming days, the deepest clean depths, the days to come."""

    state: State
    said: Mapping[int, Said]
    tops: Mapping[str, float]
    slots: Sequence[Json]


@dataclass
class Resting:
    """A ladder while another discipline is the main one: its places, how likely each is, and as of which day."""

    places: Ints
    share: Floats
    n: int


@dataclass
class Season:
    """One pass over the days to come."""

    begin: Begin
    chances: Mapping[str, Chances]
    lost: float
    turned: Outcome
    left_out: float
    known: KnownSteps = field(default_factory=KnownSteps)
    told: dict[str, list[Told]] = field(default_factory=dict)

    def run(self) -> dict[str, list[Told]]:
        """Return what each dive day to come tells, by its main discipline."""
        state, self.pauses = copy(self.begin.state), self.known.pauses
        self.state, self.n = state, number(self.begin.slots[0]["date"])
        self.scales = {name: scale_of(ladder) for name, ladder in state.ladders.items()}
        self.courses = {name: self._course(name) for name in state.now}
        self.dived, self.deep_days = list[tuple[int, str, float]](), dict[str, float]()
        places = {name: self.courses[name].walk.begins(state, self.n, self._top(name)) for name in state.now}
        self.resting = {name: self._alone(name, [ladder]) for name, (ladder, _) in places.items()}
        self.pause = np.array([self.pauses.number(places[state.lead][1])], np.int64), np.ones(1)
        self.lead, self.spread = state.lead, self._joined(state.lead)
        for slot in self.begin.slots:
            self._day(slot)
        return self.told

    def _day(self, slot: Json) -> None:
        n = number(slot["date"])
        if self.state.sheet["until"] is not None and slot["date"] >= self.state.sheet["until"]:
            self._enter(n)
        self.state.led_by(slot["lead"])
        if self.state.lead != self.lead:
            self._switched(self.state.lead, n)
        said = self.begin.said.get(n, NOTHING)
        if slot["kind"] == "dive":
            self._dive(slot["date"], n, said)
        if said.no_diving:
            self._age(n)
            self.spread = self.courses[self.lead].rested_by(self.spread, said)

    def _dive(self, day: str, n: int, said: Said) -> None:
        self._age(n)
        course = self.courses[self.lead]
        before = self.deep_days.get(self.lead, 0.0)
        dived = course.after(self.spread, Slot(said, self.lost, self._is_stopped(n, said), before))
        self.spread, self.n, self.deep_days[self.lead] = dived.spread, n + dived.days, before + dived.dives
        if dived.dives >= MORE_LIKELY:
            self.dived.append((n, self.lead, dived.mean_m))
        told = Told(day, dived.dives, dived.not_clean, *course.stands(self.spread))
        self.told.setdefault(self.lead, []).append(told)

    def _is_stopped(self, n: int, said: Said) -> bool:
        """Tell whether there is no deep dive of the main discipline on a day, whatever its place."""
        harm, main = self.state.harm, said.main
        lowest_m = self.state.rung_m(self.lead, 0)
        return bool(
            harm.stop_says(self.state.words, n) or n < harm.no_deep_before
            or said.no_diving or said.not_ready or easy_why(self.state.words, said, self.lead, lowest_m)
            or (main and main != self.lead and main in self.state.now)
        )  # fmt: skip

    def _age(self, n: int) -> None:
        self.spread, self.n = self.courses[self.lead].aged(self.spread, n - self.n), n

    def _switched(self, name: str, n: int) -> None:
        """Go on with another main discipline."""
        self._age(n)
        self._parted(self.courses[self.lead])
        self.lead = name
        self._woken(name, n)
        self.spread = self._joined(name)

    def _parted(self, course: Course) -> None:
        """Take the main ladder and the pause apart."""
        spread = course.settled(self.spread)
        self.resting[self.lead] = _resting(spread.ladders, spread.share, self.n)
        pauses, at = numbered(spread.pauses)
        self.pause = pauses, summed((course.chances.weight @ spread.share)[None, :], at, len(pauses))[0]

    def _woken(self, name: str, n: int) -> None:
        """Let the days pass for a ladder that rested; dives of the others near its depth end its time away."""
        course, rest = self.courses[name], self.resting[name]
        near = self.state.sheet["numbers"]["near_share"]
        places = []
        for at in rest.places.tolist():
            ladder = course.walk.aged(course.ladders.known[at], n - rest.n)
            least_m = near * course.walk.comfortable_m(ladder)
            last = max((day for day, _, depth_m in self.dived if day >= rest.n and depth_m >= least_m), default=None)
            days = ladder.away_days if last is None else min(ladder.away_days, n - last)
            places.append(course.ladders.number(ladder._replace(away_days=days)))
        self.resting[name] = _resting(np.array(places, np.int64), rest.share, n)

    def _joined(self, name: str) -> Spread:
        """Put a ladder and the pause together, as independent ones."""
        rest, (pauses, share) = self.resting[name], self.pause
        ladders, both = np.repeat(rest.places, len(pauses)), np.tile(pauses, len(rest.places))
        joint = (rest.share[:, :, None] * share).reshape(len(rest.share), -1)
        return Spread(ladders, both, joint).gathered()

    def _alone(self, name: str, ladders: Sequence[Ladder]) -> Resting:
        codes = np.array([self.courses[name].ladders.number(ladder) for ladder in ladders], np.int64)
        return Resting(codes, np.full((len(self.chances[name].weight), len(codes)), 1 / len(codes)), self.n)

    def _enter(self, n: int) -> None:
        """Go on with the next stage of the season: each place is carried over as the reader does it."""
        self._age(n)
        old, before, self.state = self.courses, self.state, _next_stage(self.state)
        self.scales |= {name: scale_of(ladder) for name, ladder in self.state.ladders.items() if name not in before.now}
        self.courses = {name: self._course(name) for name in self.state.now}
        self.state.led_by(self.lead)
        if self.state.lead != self.lead:  # the change took it away
            self._parted(old[self.lead])
        else:
            spread = old[self.lead].settled(self.spread)
            ladders = self._carried(self.lead, spread.ladders, n, old[self.lead], before)
            self.spread = Spread(ladders, spread.pauses, spread.share).gathered()
        self.resting = {
            name: self._rested_into(name, old[name], before) if name in before.now else self._fresh(name, n)
            for name in self.state.now
        }
        if self.state.lead != self.lead:
            self.lead = self.state.lead
            self._woken(self.lead, n)
            self.spread = self._joined(self.lead)

    def _fresh(self, name: str, n: int) -> Resting:
        """Return the ladder of a discipline that a change added."""
        ladder, _ = self.courses[name].walk.begins(self.state, n, self._top(name))
        return self._alone(name, [ladder])

    def _rested_into(self, name: str, course: Course, before: State) -> Resting:
        """Return a ladder that rests, under the next stage of the season."""
        rest = self.resting[name]
        return _resting(self._carried(name, rest.places, rest.n, course, before), rest.share, rest.n)

    def _carried(self, name: str, ladders: Ints, n: int, course: Course, before: State) -> Ints:
        """Return where the places of a ladder lead in the next stage."""
        walk, found = self.courses[name].walk, {}
        for at in set(ladders.tolist()):
            ladder = course.ladders.known[at]
            state = _next_stage(course.walk.state_at(ladder, n, before), name)
            found[at] = self.courses[name].ladders.number(walk.ladder_of(state, n, ladder.goals))
        return np.array([found[at] for at in ladders.tolist()], np.int64)

    def _course(self, name: str) -> Course:
        walk = Walk(self.state, name, self._has_pause(name))
        steps = self.known.of(walk, self.turned)
        return Course(walk, steps, self.chances[name], self.scales[name], self.left_out)

    def _has_pause(self, name: str) -> bool:
        """Tell whether a coming pause between dive days of a discipline is long enough to be time away."""
        full_days = next(row["to_days"] for row in self.state.sheet["away"] if row["is_full"])
        days = [number(slot["date"]) for slot in dive_slots(self.begin) if slot["lead"] == name]
        return any(other - one > full_days for one, other in pairwise(days))

    def _top(self, name: str) -> float:
        return self.begin.tops.get(name, 0.0)


def begin_of(sheet: Json, log: Sequence[Json], today: str) -> Begin | None:
    """Return what a log leaves on the morning of today, or after its dives; None when no day is to come."""
    until = [record for record in log if record["kind"] != "dive" or record["date"] <= today]
    is_dived = any(record["kind"] == "dive" and record["date"] == today for record in until)
    coming = [slot for slot in sheet["days"] if slot["date"] > today or (slot["date"] == today and not is_dived)]
    past = [slot for slot in sheet["days"] if slot not in coming] or [{**sheet["days"][0], "kind": "rest"}]
    fold = Fold({**sheet, "days": past}, until, (date.fromisoformat(today) + timedelta(days=1)).isoformat())
    fold.plan()
    tops = {name: reached(marks) or 0.0 for name, marks in fold.marks.items()}
    return Begin(fold.state, fold.said, tops, coming) if coming else None


def _resting(places: Ints, share: Floats, n: int) -> Resting:
    """Return a ladder at rest, in which equal places are one."""
    unique, at = numbered(places)
    return Resting(unique, summed(share, at, len(unique)), n)


def dive_slots(begin: Begin) -> Iterator[Json]:
    """Yield the dive days to come."""
    return (slot for slot in begin.slots if slot["kind"] == "dive")


def _next_stage(state: State, only: str | None = None) -> State:
    """Return a state that has entered the next stage, of one discipline where it is named."""
    found = copy(state)
    found.stages, found.now, found.comfort = list(state.stages), dict(state.now), dict(state.comfort)
    found.best, found.harm = dict(state.best), copy(state.harm)
    if only is not None:
        stage = found.stages[0]
        kept = {name: ladder for name, ladder in stage["disciplines"].items() if name == only}
        found.stages[0] = {**stage, "disciplines": kept}
        found.ladders = {only: state.ladders[only]}
    found.enter()
    return found
