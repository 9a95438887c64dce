"""One ladder from dive day to dive day: what the reader makes of a clean, a hard or a turned dive.

A step asks the reader's own `State` and `Rest` for what they would do. What has no effect on a later day is left out of
a place (sentences, dates, efforts), so that different pasts come together and few places remain.
"""

from __future__ import annotations

from collections.abc import Mapping
from copy import copy
from dataclasses import replace
from functools import cached_property
from typing import Any

from ..planner.reader.boat_day import NOTHING, Said
from ..planner.reader.comfort import Comfort, comfortable_m
from ..planner.reader.harm import Harm
from ..planner.reader.rest import NEVER, Rest, row_of
from ..planner.reader.standing import Standing
from ..planner.reader.state import State
from .places import Ladder, Opened, Outcome, Pause

Json = Mapping[str, Any]
TODAY = 0  # day numbers inside a step are counted from its day
NO_WORDS = ""
DEEPEST_M = 10.0**6
CLOSE_RUNGS = 2
# parts of the sheet on which no step of a ladder depends: other ladders, days, words
NO_RULES = {"disciplines", "days", "words", "first_day", "until", "past", "restarts", "drill", "drill_sets", "site"}


class _Silent(dict[str, Any]):
    """The sheet's words without their sentences, which no forecast reads and which take long to fill in."""

    def __init__(self, words: Json) -> None:
        super().__init__({key: said if isinstance(said, list) else "" for key, said in words.items()})


class Walk:
    """The steps of one discipline under one stage of the sheet. `state` is the reader's, as the log leaves it."""

    def __init__(self, state: State, name: str, has_pause: bool) -> None:
        self.name, self.has_pause = name, has_pause
        self.sheet = {**state.sheet, "words": _Silent(state.sheet["words"])}
        self.template, self.ladder = copy(state), self.sheet["disciplines"][name]
        self.template.sheet, self.template.words = self.sheet, self.sheet["words"]
        self.comfort = state.comfort[name]
        self.spacing = self.sheet["spacing"]
        self.edges = [row["to_m"] or DEEPEST_M for row in self.spacing]

    def rules(self) -> tuple[object, ...]:
        """Return all that the steps depend on: ladders for which it is equal have the same steps."""
        rules = {part: rule for part, rule in self.sheet.items() if part not in NO_RULES}
        comfort = self.comfort.given_m, self.comfort.repeats
        return self.name, self.ladder, rules, comfort, self.has_pause, bool(self.template.stages)

    @cached_property
    def most_gap(self) -> int:
        """The days after which a deep dive no longer matters for the next one."""
        return int(max(self.sheet["numbers"]["run_in_days"], *(row["min_days"] for row in self.spacing)))

    @cached_property
    def full_days(self) -> int:
        """The days without a dive near the comfortable depth that are no time away."""
        return int(next(row["to_days"] for row in self.sheet["away"] if row["is_full"]))

    @cached_property
    def last_short(self) -> int:
        """The deepest rung that needs fewer clean dives than those from the best on; -1 where none does."""
        rungs, repeats = self.ladder["rungs"], self.ladder["repeats"]
        return max((at for at, rung in enumerate(rungs) if rung["needs"] < repeats), default=-1)

    @cached_property
    def most_away_days(self) -> int:
        """The days after which the time away grows no more."""
        return int(max((row["to_days"] or 0) for row in self.sheet["away"])) + 1

    def begins(self, state: State, n: int, top_m: float) -> tuple[Ladder, Pause]:
        """Return the place at which the log leaves this ladder on day `n`; `top_m` is the deepest clean dive so far."""
        return self.ladder_of(state, n, self.goals_at(top_m)), self.pause_of(state, n)

    def goals_at(self, depth_m: float) -> int:
        """Return how many goals a clean dive to this depth reaches."""
        return sum(goal_m <= depth_m for _, goal_m in self.ladder["goals"])

    def aged(self, ladder: Ladder, days: int) -> Ladder:
        """Return a ladder's place so many days later."""
        return ladder._replace(away_days=min(ladder.away_days + days, self.most_away_days))

    def seen(self, ladder: Ladder) -> Ladder:
        """Return a ladder's place after one of its dive days, whatever came of it.

        Days without a dive near the comfortable depth begin to count anew: by chance alone, without a pause of the
        season, three weeks without any are too rare to matter.
        """
        return ladder if ladder.away_days > self.full_days else ladder._replace(away_days=0)

    def rested(self, pause: Pause, days: int) -> Pause:
        """Return what is asked so many days later."""
        gap = None if pause.gap is None else min(pause.gap + days, self.most_gap)
        goes_on = gap is not None and gap <= 1
        return pause._replace(
            gap=gap, until=max(0, pause.until - days), taxing=max(0, pause.taxing - days),
            streak=pause.streak if goes_on else 0, streak_m=pause.streak_m if goes_on else 0.0,
        )  # fmt: skip

    def kind(self, pause: Pause) -> Pause:
        """Return the plainest pause that opens a day as this one does: the spacing plays no part in that."""
        gap = pause.gap
        if gap is not None and gap < self.sheet["numbers"]["run_in_days"]:
            gap = 0
        return pause._replace(gap=gap, streak=0, streak_m=0.0, until=0, taxing=0)

    def opened(self, ladder: Ladder, pause: Pause, said: Said = NOTHING) -> Opened:
        """Return the deep dive with which a day would begin here."""
        wanted = self._state(ladder, pause).wanted(TODAY, said)
        return Opened(wanted, float(self.rung_m(wanted.rung)))

    def is_easy(self, pause: Pause, depth_m: float) -> bool:
        """Tell whether spacing or a taxing dive keeps a deep dive to this depth from today."""
        return self._rest(pause).easy(self.spacing, TODAY, depth_m) is not None

    def ladder_after(self, ladder: Ladder, pause: Pause, opened: Opened, outcome: Outcome) -> Ladder:
        """Return the ladder's place after a deep dive of today."""
        is_clean = outcome.verdict == "clean"
        goals = max(ladder.goals, self.goals_at(opened.depth_m)) if is_clean else ladder.goals
        if self._is_plain(ladder):
            return Ladder(self._standing(self._climbed(opened, outcome)), (), 0, goals)
        state, _ = self._dived(ladder, pause, opened, outcome)
        return self.seen(self.ladder_of(state, TODAY, goals))

    def pause_after(self, ladder: Ladder, pause: Pause, opened: Opened, outcome: Outcome) -> Pause:
        """Return what is asked after a deep dive of today. It depends on the ladder by `rows` of the depth only."""
        state, dive = self._dived(ladder, pause, opened, outcome)
        if state.is_deep(dive, opened.wanted):
            state.rest.add(self.spacing, TODAY, dive["reached_m"])
            state.taxed(TODAY, dive)
        return self.pause_of(state, TODAY)

    def off(self, pause: Pause, said: Said) -> Pause:
        """Return what is asked after a day that the diver called off."""
        state = copy(self.template)
        state.idle, state.rest = pause.idle, self._rest(pause)
        state.rested(TODAY, said)
        return self.pause_of(state, TODAY)._replace(limit=pause.limit)

    def state_at(self, ladder: Ladder, n: int, before: State) -> State:
        """Return a reader's state at this place on day `n`, as far as this ladder goes."""
        state = copy(before)
        state.now = {self.name: ladder.standing}
        comfort = replace(self.comfort, near_n=n - ladder.away_days, deepest=ladder.deepest)
        state.comfort, state.best = {self.name: comfort}, {}
        return state

    def ladder_of(self, state: State, n: int, goals: int) -> Ladder:
        """Return the part of the reader's state that belongs to this ladder, without what no later day asks for."""
        comfort = state.comfort[self.name]
        away_days = min(n - comfort.near_n, self.most_away_days)
        deepest: tuple[float, ...] = ()
        if self.has_pause or away_days > self.full_days:
            known = [max(depth_m, comfort.given_m) for depth_m in comfort.deepest]
            deepest = (*known, *[comfort.given_m] * (comfort.repeats - len(known)))
        return Ladder(self._standing(state.now[self.name]), deepest, away_days, goals)

    def _standing(self, now: Standing) -> Standing:
        """Return a standing without what no later day asks for."""
        return Standing(
            now.rung, now.clean, now.run, NO_WORDS, self._last(now), (), self._marks(now), now.back, now.back_clean,
            None, now.is_set,
        )  # fmt: skip

    def _last(self, now: Standing) -> tuple[bool, ...]:
        """Return the last dives on the rung from the first that was not clean, as far as the next dive looks back."""
        if False not in now.last:
            return ()
        last = now.last[-int(self.sheet["numbers"]["of_last"]) + 1 :]
        return last[last.index(False) :] if False in last else ()

    def _marks(self, now: Standing) -> tuple[int, ...]:
        """Return the rungs from which the diver had to step down, as far as they matter from here.

        Those count that are here or up to two rungs deeper. For a shallower one stands the rung two above, as long as
        it makes a rung from here on ask for more clean dives. What is left out changes a chance by less than 0.005:
        it takes three steps down in a row and the whole way back.
        """
        if not now.sent_down or self.template.stages:
            return tuple(sorted(set(now.sent_down)))  # rungs of a stage to come may lie elsewhere
        close = {at for at in now.sent_down if now.rung <= at <= now.rung + CLOSE_RUNGS}
        is_floor = min(now.sent_down) < now.rung <= self.last_short
        return tuple(sorted(close | {max(0, now.rung - 2)} if is_floor else close))

    def pause_of(self, state: State, n: int) -> Pause:
        """Return the part of the reader's state that all ladders share."""
        rest, limit = state.rest, state.harm.limit
        idle = replace(state.idle, days=0, why=state.idle.why and "run_in", said=NO_WORDS)
        gap = None if rest.n == NEVER else min(n - rest.n, self.most_gap)
        pause = Pause(
            gap, rest.streak, self._edge(rest.streak_m), max(0, rest.until - n), max(0, rest.taxing_until - n), idle,
            limit and replace(limit, n=1, what="lmc"),
        )  # fmt: skip
        return self.rested(pause, 0)

    def comfortable_m(self, ladder: Ladder) -> float:
        """Return the comfortable depth at this place."""
        return comfortable_m(replace(self.comfort, deepest=ladder.deepest))

    def _dived(self, ladder: Ladder, pause: Pause, opened: Opened, outcome: Outcome) -> tuple[State, dict[str, Any]]:
        """Return the reader's state after a deep dive of today, all but its spacing, and the dive."""
        state = self._state(ladder, pause)
        reached_m = opened.depth_m * outcome.share
        effort = self.sheet["numbers"]["taxing_effort"] if outcome.taxes else None
        dive = {
            "discipline": self.name, "role": "deep", "target_m": opened.depth_m, "reached_m": reached_m,
            "effort": effort,
        }  # fmt: skip
        state.learned(TODAY, dive, outcome.verdict == "clean")
        state.begun(TODAY, opened.wanted, reached_m)
        deed = {"verdict": outcome.verdict, "reached_m": reached_m, "effort": effort, "is_outside": False}
        state.climbed(opened.wanted, deed, True)
        return state, dive

    def _is_plain(self, ladder: Ladder) -> bool:
        """Tell whether no coming pause asks here for the comfortable depth or for the days since a dive near it."""
        return not self.has_pause and ladder.away_days <= self.full_days

    def _climbed(self, opened: Opened, outcome: Outcome) -> Standing:
        """Return the standing after a deep dive: all that a plain ladder's place keeps of it."""
        state = self.bare
        state.now[self.name] = opened.wanted.standing
        deed = {"verdict": outcome.verdict, "reached_m": opened.depth_m * outcome.share, "is_outside": False,
                "effort": self.sheet["numbers"]["taxing_effort"] if outcome.taxes else None}  # fmt: skip
        state.climbed(opened.wanted, deed, True)
        return state.now[self.name]

    @cached_property
    def bare(self) -> State:
        """A state of which only the ladder matters; each step sets it anew."""
        state = copy(self.template)
        state.now, state.harm = {}, copy(state.harm)
        return state

    def _state(self, ladder: Ladder, pause: Pause) -> State:
        """Return the reader's state at this place, as of today."""
        state = State.__new__(State)  # as `copy` does, but faster: this runs thousands of times
        state.__dict__.update(self.template.__dict__)
        state.now = {self.name: ladder.standing}
        state.comfort = {
            self.name: Comfort(self.comfort.given_m, self.comfort.repeats, TODAY - ladder.away_days, ladder.deepest)
        }
        state.best, state.lead, state.idle = {}, self.name, pause.idle
        state.rest, state.harm = self._rest(pause), self._harm(pause)
        return state

    def _harm(self, pause: Pause) -> Harm:
        harm = self.template.harm
        if harm.limit is not None or pause.limit is not None:
            harm = copy(harm)
            harm.limit = pause.limit
        return harm

    def _rest(self, pause: Pause) -> Rest:
        rest = Rest()
        if pause.gap is not None:
            rest.n, rest.streak, rest.streak_m = TODAY - pause.gap, pause.streak, pause.streak_m
            rest.until, rest.until_of, rest.taxing_until = TODAY + pause.until, TODAY, TODAY + pause.taxing
        return rest

    def rows(self, depth_m: float, turned: Outcome) -> tuple[float, float]:
        """Return the rows of the spacing table in which a deep dive and a turned one to this target lie."""
        return self._edge(depth_m), self._edge(depth_m * turned.share)

    def _edge(self, depth_m: float) -> float:
        """Return the deepest depth of the row of the spacing table that this depth is in; 0 stays."""
        return row_of(self.spacing, depth_m)["to_m"] or DEEPEST_M if depth_m else 0.0

    def rung_m(self, rung: int) -> float:
        """Return the depth of a rung in metres."""
        return float(self.ladder["rungs"][rung]["depth_m"])
