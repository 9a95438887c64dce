"""The reader: applies a log to the ladder sheet and says what comes next."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from .boat_day import NOTHING, Said, said_by_day
from .daylist import Wanted, again, mark_new_bests, no_deeper_than, planned, tick, without_second_try
from .interval import PauseDay
from .noted import most_m, not_allowed, noted, over_of, rushed
from .outlook import Mark, goal_said, goals_of, reached, reaches, wins
from .proposed import easy_why, no_deeper_than_proposed
from .sentences import number
from .state import NO_IDLE, State, depth_m
from .verdict import Verdict, is_outside, judge

Json = Mapping[str, Any]


def read(sheet: Json, log: Sequence[Json], today: str) -> dict[str, Any]:
    """Return the plan: days with targets, each ladder's standing and goals, the next deep dive, the stand-down.

    `log` has checked records. What was logged counts; from today on, each dive not yet logged is assumed to be clean.
    """
    return Fold(sheet, log, today).plan()


class Fold:
    """One pass over the days. Its state stays inside; it changes none of its arguments."""

    def __init__(self, sheet: Json, log: Sequence[Json], today: str) -> None:
        self.sheet, self.words, self.today = sheet, sheet["words"], number(today)
        self.state = State(sheet, log)
        self.known: dict[str, Json] = {}  # where each ladder stands before the first dive that is only assumed
        self.marks: dict[str, list[Mark]] = {}
        self.starts: dict[str, float] = {}
        self.next: dict[str, Any] | None = None
        self.said = said_by_day(log)
        self.forbidden: tuple[str | None, str | None] = None, None  # why no dive, and no deep dive, was allowed today
        self.dives = sorted((record for record in log if record["kind"] == "dive"), key=_order)

    def plan(self) -> dict[str, Any]:
        """Return the plan after one pass over all days."""
        by_day: dict[str, list[Json]] = {}
        for dive in self.dives:
            by_day.setdefault(dive["date"], []).append(dive)
        days, slots = [], self.sheet["days"]
        first = number(slots[0]["date"])
        early = {number(day): by_day[day] for day in by_day if day < slots[0]["date"]}
        for n in sorted({*early, *(n for n in self.said if n < first)}):
            self.dived_outside(n, early.get(n, []))
            self.state.rested(n, self.said.get(n, NOTHING))
        for slot in slots:
            days.append(self.day(slot, by_day.get(slot["date"], [])))
        for day in [day for day in by_day if day > slots[-1]["date"]]:
            self.dived_outside(number(day), by_day[day])
        return {
            "days": days,
            "disciplines": {name: self.summary(name) for name in self.state.ladders},
            "next": self.next,
            "stand_down": self.state.harm.stand_down(self.words, self.today),
            "book": self.sheet["book"],
        }

    def day(self, slot: Json, dives: list[Json]) -> dict[str, Any]:
        """Plan a day from what is known before it; then apply what was done, or assume that the plan is dived clean."""
        n, state = number(slot["date"]), self.state
        if state.sheet["until"] is not None and slot["date"] >= state.sheet["until"]:
            state.enter()
        if n >= self.today:
            self.foresee(n)
        state.led_by(slot["lead"])
        said = self.said.get(n, NOTHING)
        wanted = state.wanted(n, said) if slot["kind"] == "dive" else None
        kind, why = self.kind(slot, n, wanted, said)
        out = {
            "date": slot["date"], "block": slot["block"], "kind": kind, "why": why,
            "dives": self.listed(slot, n, wanted, kind) if wanted else [], "done": [], "over": None,
        }  # fmt: skip
        if wanted and said.proposed:
            out["proposed"] = list(said.proposed)
        self.dived_inside(n, wanted, dives, out)
        if wanted and n >= self.today and out["over"] is None:
            self.ahead(n, wanted, out)
        state.rested(n, said)
        return out

    def kind(self, slot: Json, n: int, wanted: Wanted | None, said: Said) -> tuple[str, str]:
        """Return what kind of day this is, and the sentence that says why."""
        state, harm = self.state, self.state.harm
        if wanted is None:
            return slot["kind"], self.words[slot.get("why") or slot["kind"]]
        stop = harm.stop_says(self.words, n)
        if stop is not None:
            return "stand-down", stop
        if said.no_diving:
            return "off", state.say("no_diving", why=state.sheet["no_diving"][said.no_diving]["says"].lower())
        if said.not_ready:
            return "easy", state.not_ready_says(said.not_ready)
        if n < harm.no_deep_before:
            return "easy", state.say(
                harm.no_deep_why, until=state.on(harm.no_deep_before), date=state.on(harm.no_deep_n)
            )
        asked = easy_why(self.words, said, wanted.name, state.rung_m(wanted.name, wanted.rung))
        if asked is not None:
            return "easy", asked
        easy = state.rest.easy(state.sheet["spacing"], n, state.rung_m(wanted.name, wanted.rung))
        if easy is not None:
            return "easy", state.say(easy[0], **easy[1], date=state.on(easy[2]))
        return "deep", wanted.why

    def listed(self, slot: Json, n: int, wanted: Wanted, kind: str) -> list[dict[str, Any]]:
        """Return the planned dives of a day, with what each says of bests and goals."""
        state, name = self.state, wanted.name
        drills = state.sheet["drill_sets"][slot["drills"]] if "drills" in slot else []
        near = {key: wanted.rung if key == name else state.opened(key, n).rung for key in state.now}
        dives = planned(state.sheet, wanted, kind, drills, near, state.comfortable)
        no_deeper_than_proposed(dives, self.said.get(n, NOTHING))
        mark_new_bests(dives, self.words, state.best)
        if kind == "deep":
            deep = next(dive for dive in dives if dive["role"] == "deep")
            self.starts.setdefault(name, deep["target_m"])
            said = goal_said(self.words, state.ladders[name], self.marks.get(name, []), deep["target_m"])
            if said:
                deep["reaches"] = said
        return dives

    def ahead(self, n: int, wanted: Wanted, out: dict[str, Any]) -> None:
        """Offer the deep dive that is still open, and assume that it is clean; a second try is never assumed."""
        state = self.state
        still = next((dive for dive in out["dives"] if dive["role"] == "deep" and dive["done"] is None), None)
        if still is None:
            return
        second_try = "again" in still
        if state.rest.n == n and not second_try:  # one deep dive a day, even when it was not the planned one
            out["dives"].remove(still)
            return
        self.next = self.next or {"date": out["date"], **still}
        if second_try:
            return
        self.known = self.known or {name: state.stands(name) for name in state.now}
        state.rest.add(state.sheet["spacing"], n, still["target_m"])
        self.mark(wanted.name, Mark(out["date"], still["target_m"], False))
        state.assumed(n, wanted.name, still["target_m"])
        state.begun(n, wanted, still["target_m"])
        deed = {"verdict": "clean", "reached_m": still["target_m"], "effort": None, "is_outside": False}
        state.climbed(wanted, deed, True)

    def foresee(self, n: int) -> None:
        """Let what is dated after today, by a clock that is wrong or a slip, count from today on."""
        for dive in reversed(self.dives):
            if number(dive["date"]) <= n:
                return
            self.state.harmed(number(dive["date"]), dive, judge(self.state.sheet, dive))

    def dived_outside(self, n: int, dives: list[Json]) -> None:
        """Apply the dives of a day before or after the season: they count for spacing, depth and signs of harm."""
        state = self.state
        for dive in dives:
            verdict = judge(state.sheet, dive)
            if state.is_deep(dive, None):
                state.rest.add(state.sheet["spacing"], n, dive["reached_m"])
                state.idle = NO_IDLE
                if verdict.name == "clean":
                    state.dived_clean_outside(dive["reached_m"])
            state.learned(n, dive, verdict.name == "clean")
            state.harmed(n, dive, verdict)

    def dived_inside(self, n: int, wanted: Wanted | None, dives: list[Json], out: dict[str, Any]) -> None:
        """Apply the dives of a day of the season in the order of diving, and add them to the day."""
        state = self.state
        tries = 0  # dives to the planned deep target
        before_m = 0.0  # the deepest target or depth of the day so far
        is_open = out["kind"] == "deep"
        pauses = PauseDay(state.sheet) if len(dives) > 1 else None
        self.forbidden = state.forbids(n, self.said.get(n, NOTHING))
        for dive in dives:
            verdict = judge(state.sheet, dive)
            led = wanted if is_open and out["over"] is None and _is_led(dive, wanted) else None
            hurried = rushed(self.words, dive, pauses) if pauses else []
            self.added(dive, verdict, led, 0.0 if led and tries else before_m, hurried, out)
            if state.is_deep(dive, wanted):
                state.rest.add(state.sheet["spacing"], n, dive["reached_m"])
                state.taxed(n, dive)
                before_m = max(before_m, dive["target_m"] or dive["reached_m"])
                if led is None:
                    without_second_try(out["dives"])
            state.learned(n, dive, verdict.name == "clean")
            if led:
                state.begun(n, led, dive["reached_m"])
            state.harmed(n, dive, verdict)
            if led:
                tries += 1
                is_open = tries == 1 and verdict.name == "turned" and self.may_try_again(dive)
                wanted = self.moved(led, dive, verdict)
                if is_open:
                    self.offer_second_try(wanted, dive, out)
            most = most_m(state.sheet, dive)
            if most is not None:
                no_deeper_than(out["dives"], most, self.words)

    def moved(self, wanted: Wanted, dive: Json, verdict: Verdict) -> Wanted:
        """Move the ladder by a dive on the plan, and return what a second try would be: never deeper than the first."""
        deed = {
            "verdict": verdict.name, "reached_m": dive["reached_m"], "effort": dive["effort"],
            "is_outside": is_outside(self.state.sheet, dive),
        }  # fmt: skip
        self.state.climbed(wanted, deed, False)
        now = self.state.now[wanted.name]
        why = now.why if now.rung < wanted.rung else ""
        return Wanted(wanted.name, now, min(wanted.rung, now.rung), why, wanted.is_asked)

    def offer_second_try(self, wanted: Wanted, turned: Json, out: dict[str, Any]) -> None:
        """Put a second try after the planned deep dive that was turned early."""
        index = next(index for index, dive in enumerate(out["dives"]) if dive["role"] == "deep")
        out["dives"].insert(index + 1, again(self.state.sheet, wanted, turned))
        mark_new_bests(out["dives"], self.words, self.state.best)

    def added(
        self, dive: Json, verdict: Verdict, wanted: Wanted | None, before_m: float, hurried: list[str],
        out: dict[str, Any],
    ) -> None:  # fmt: skip
        """Add a dive to its day. `wanted` is the planned deep dive that it was meant as, None for any other."""
        state, numbers = self.state, self.state.sheet["numbers"]
        is_deep = dive["role"] == "deep" or state.is_deep(dive, None)
        flags = not_allowed(self.words, self.forbidden, is_deep) + ([self.words["after_over"]] if out["over"] else [])
        name, is_allowed = dive["discipline"], not flags
        if dive["role"] == "deep" and wanted is None:
            flags.append(self.words["off_plan"])
        if wanted is not None:
            planned_m = state.rung_m(wanted.name, wanted.rung)
            if dive["target_m"] > planned_m + numbers["tolerance_m"]:
                flags.append(state.say("target_deeper", target=dive["target_m"], depth=planned_m))
        if before_m and dive["reached_m"] >= numbers["second_dive_share"] * before_m:
            flags.append(state.say("second_deep", percent=numbers["second_dive_percent"]))
        out["done"].append(noted(state.sheet, dive, verdict, [*flags, *hurried]))
        out["over"] = over_of(state.sheet, dive, verdict) or out["over"]
        if wanted is not None or dive["role"] != "deep":
            tick(out["dives"], dive)
        if verdict.name != "clean":
            return
        won = name in state.ladders and wins(
            self.words, state.ladders[name], self.marks.get(name, []), state.best[name], depth_m(dive)
        )
        if won and is_allowed:
            out["done"][-1]["wins"] = won
        self.mark(name, Mark(dive["date"], depth_m(dive), True))

    def mark(self, name: str, mark: Mark) -> None:
        """Take in a clean dive, done or assumed."""
        self.marks.setdefault(name, []).append(mark)

    def may_try_again(self, dive: Json) -> bool:
        """Tell whether a turned dive leaves a second try: turned early, without a sign and without hard effort."""
        numbers = self.state.sheet["numbers"]
        calm = not dive["signs"] and (dive["effort"] is None or dive["effort"] < numbers["hard_effort"])
        return bool(calm and dive["reached_m"] < numbers["second_try_share"] * dive["target_m"])

    def summary(self, name: str) -> dict[str, Any]:
        """Return where a ladder stands now, how far it reaches, where it ends, and its goals."""
        state, ladder, marks = self.state, self.state.ladders[name], self.marks.get(name, [])
        return {
            "start_m": self.starts.get(name, state.rung_m(name, ladder["stands"])),
            **(self.known.get(name) or state.stands(name)),
            "reached_m": reached(marks),
            "reaches_m": reaches(marks),
            "ends_m": ladder["end_m"],
            "ends_says": ladder["ends_says"],
            "goals": goals_of(self.words, ladder, marks, self.today > number(self.sheet["days"][-1]["date"])),
        }


def _order(dive: Json) -> tuple[str, str, str, str]:
    """Return the order of diving: by date and time of surfacing; without a time in the order of logging."""
    return dive["date"], dive["at"] or "", dive.get("logged_at") or "", dive["id"]


def _is_led(dive: Json, wanted: Wanted | None) -> bool:
    """Tell whether a dive was meant as the deep dive of the day's main discipline."""
    is_deep = dive["role"] == "deep" and dive["target_m"] is not None
    return is_deep and wanted is not None and dive["discipline"] == wanted.name
