"""The reader: applies a log to the ladder sheet and says what comes next."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from math import floor
from typing import Any

from .daylist import again, planned, rung_of, tick, without_second_try
from .outlook import Mark, goals_of, reaches
from .sentences import date_words, fill
from .standdown import StandDown, holds, is_cleared, iso, stop_says, stop_values, widened
from .standing import Standing, lowered, moved, resumed
from .verdict import Verdict, judge

NEVER = -(10**6)
Json = Mapping[str, Any]


def read(sheet: Json, log: Sequence[Json], today: str) -> dict[str, Any]:
    """Return the plan: days with targets, each ladder's standing and goals, the next deep dive, the stand-down.

    `log` has checked records. What was logged counts; from today on, each dive not yet logged is assumed to be clean.
    """
    return _Fold(sheet, log, today).plan()


@dataclass
class _Spacing:
    """The last deep dive of any discipline, and how many days in a row had one."""

    n: int = NEVER
    depth_m: float = 0.0
    streak: int = 0

    def add(self, n: int, depth_m: float) -> None:
        if n == self.n:
            self.depth_m = max(self.depth_m, depth_m)
        else:
            self.n, self.depth_m, self.streak = n, depth_m, self.streak + 1 if n == self.n + 1 else 1


class _Fold:
    """One pass over the days. Its state stays inside; it changes none of its arguments."""

    def __init__(self, sheet: Json, log: Sequence[Json], today: str) -> None:
        self.sheet, self.words = sheet, sheet["words"]
        self.numbers, self.ladders = sheet["numbers"], sheet["disciplines"]
        self.today, self.first = _number(today), _number(sheet["first_day"])
        self.now = {name: Standing(ladder["start"], 0, 0, ladder["start_why"]) for name, ladder in self.ladders.items()}
        self.known: dict[str, Standing] = {}  # the standings before the first dive that is only assumed
        self.marks: dict[str, list[Mark]] = {name: [] for name in self.ladders}
        self.last = _Spacing()
        self.lmc_n, self.no_deep_before = NEVER, NEVER
        self.stop: StandDown | None = None
        self.lead = sheet["days"][0]["lead"]
        self.next: dict[str, Any] | None = None
        dives = [record for record in log if record["kind"] == "dive"]
        self.dives = sorted(dives, key=lambda dive: (dive["date"], dive["at"] or "", dive["id"]))
        self.cleared = [_number(record["clearance"]) for record in log if record["kind"] == "clearance"]

    def plan(self) -> dict[str, Any]:
        by_day: dict[str, list[Json]] = {}
        for dive in self.dives:
            by_day.setdefault(dive["date"], []).append(dive)
        days, last_day = [], self.sheet["days"][-1]["date"]
        for day in [day for day in by_day if day < self.sheet["first_day"]]:
            self.dived_outside(_number(day), by_day[day])
        for slot in self.sheet["days"]:
            days.append(self.day(slot, by_day.get(slot["date"], [])))
        for day in [day for day in by_day if day > last_day]:
            self.dived_outside(_number(day), by_day[day])
        disciplines = {name: self.summary(name) for name in self.ladders}
        return {"days": days, "disciplines": disciplines, "next": self.next, "stand_down": self.stand_down()}

    def day(self, slot: Json, dives: list[Json]) -> dict[str, Any]:
        """Plan a day from what is known before it; then apply what was done, or assume that the plan is dived clean."""
        n = _number(slot["date"])
        self.lead = slot["lead"] or self.lead
        kind, why = self.kind(slot["kind"], n)
        out = {
            "date": slot["date"], "block": slot["block"], "kind": kind, "why": why,
            "dives": planned(self.sheet, self.lead, self.now, kind), "done": [], "over": None,
        }  # fmt: skip
        self.dived_inside(n, dives, out)
        if n >= self.today and out["over"] is None:
            self.ahead(n, out)
        return out

    def ahead(self, n: int, out: dict[str, Any]) -> None:
        """Offer the deep dive that is still open, and assume that it is clean; a second try is never assumed."""
        still = next((dive for dive in out["dives"] if dive["role"] == "deep" and dive["done"] is None), None)
        if still is None:
            return
        second_try = "again" in still
        if self.last.n == n and not second_try:  # one deep dive a day, even when it was not the planned one
            out["dives"].remove(still)
            return
        self.next = self.next or {"date": out["date"], **still}
        if not second_try:
            self.known = self.known or dict(self.now)
            self.last.add(n, still["target_m"])
            self.marks[self.lead].append(Mark(out["date"], still["target_m"], False))
            self.climbed(self.lead, "clean", still["target_m"], assumed=True)

    def kind(self, kind: str, n: int) -> tuple[str, str]:
        """Return what kind of day this is, and the sentence that says why."""
        if kind != "dive":
            return kind, self.words[kind]
        if self.stop and holds(self.stop, self.cleared, n):
            return "stand-down", stop_says(self.words, self.stop, self.cleared, n)
        if n < self.no_deep_before:
            return "easy", self.say("easy_lmc", until=self.on(self.no_deep_before), date=self.on(self.lmc_n))
        last, depth_m = self.last, max(self.rung_m(self.lead), self.last.depth_m)
        spacing = next(row for row in self.sheet["spacing"] if row["to_m"] is None or depth_m <= row["to_m"])
        if n - last.n < spacing["min_days"]:
            return "easy", self.say("easy_gap", depth=depth_m, days=spacing["min_days"], date=self.on(last.n))
        if n - last.n == 1 and last.streak >= spacing["max_in_a_row"]:
            return "easy", self.say("easy_row", count=last.streak, date=self.on(last.n))
        return "deep", self.now[self.lead].why

    def dived_outside(self, n: int, dives: list[Json]) -> None:
        """Apply the dives of a day before or after the season: they count for spacing and for signs of harm."""
        for dive in dives:
            if self.is_deep(dive):
                self.last.add(n, dive["reached_m"])
            self.harmed(n, dive, judge(self.sheet, dive))

    def dived_inside(self, n: int, dives: list[Json], out: dict[str, Any]) -> None:
        """Apply the dives of a day of the season in the order of diving, and add them to the day."""
        tries = 0  # dives to the planned deep target
        before_m = 0.0  # the deepest target or depth of the day so far
        is_open = out["kind"] == "deep"
        for dive in dives:
            verdict = judge(self.sheet, dive)
            on_plan = is_open and out["over"] is None and self.is_led(dive)
            self.noted(dive, verdict, on_plan, 0.0 if on_plan and tries else before_m, out)
            if self.is_deep(dive):
                self.last.add(n, dive["reached_m"])
                before_m = max(before_m, dive["target_m"] or dive["reached_m"])
                if not on_plan:
                    without_second_try(out["dives"])
            self.harmed(n, dive, verdict)
            if on_plan:
                tries += 1
                is_open = tries == 1 and verdict.name == "turned" and self.may_try_again(dive)
                self.climbed(self.lead, verdict.name, dive["reached_m"], assumed=False)
                if is_open:
                    self.offer_second_try(dive, out)

    def offer_second_try(self, turned: Json, out: dict[str, Any]) -> None:
        """Put a second try after the planned deep dive that was turned early."""
        index = next(index for index, dive in enumerate(out["dives"]) if dive["role"] == "deep")
        out["dives"].insert(index + 1, again(self.sheet, self.lead, self.now[self.lead], turned))

    def noted(self, dive: Json, verdict: Verdict, on_plan: bool, before_m: float, out: dict[str, Any]) -> None:
        """Add a dive to its day: what it was, its verdict, and its flags."""
        flags = [self.words["after_over"]] if out["over"] else []
        says, more = self.sheet["verdicts"][verdict.name]["says"], self.deeper_m(dive)
        if more:
            is_clean = verdict.name == "clean"
            flags.append(self.say("deeper_counts" if is_clean else "deeper", more=more, depth=dive["target_m"]))
            says = self.say("clean_deeper", more=more) if is_clean else says
        if dive["role"] == "deep" and not on_plan:
            flags.append(self.words["off_plan"])
        if before_m and dive["reached_m"] >= self.numbers["second_dive_share"] * before_m:
            flags.append(self.say("second_deep", percent=self.numbers["second_dive_percent"]))
        kept = {name: dive[name] for name in ("id", "discipline", "role", "target_m", "reached_m")}
        out["done"].append({**kept, "verdict": verdict.name, "says": says, "flags": flags, "care": list(verdict.care)})
        out["over"] = self.sheet["verdicts"][verdict.name]["over"] or out["over"]
        if on_plan or dive["role"] != "deep":
            tick(out["dives"], dive)
        if verdict.name == "clean" and dive["discipline"] in self.marks:
            depth_m = max(dive["reached_m"], dive["target_m"] or 0)
            self.marks[dive["discipline"]].append(Mark(dive["date"], depth_m, True))

    def deeper_m(self, dive: Json) -> float:
        """Return how much deeper than its target a dive was, in tenths of a metre; 0 when it need not be said."""
        if dive["target_m"] is None or dive["reached_m"] < dive["target_m"] + self.numbers["deeper_m"]:
            return 0
        more: float = floor((dive["reached_m"] - dive["target_m"]) * 10 + 0.5) / 10  # a half goes up, as on the phone
        return more

    def harmed(self, n: int, dive: Json, verdict: Verdict) -> None:
        """Apply what the worse verdicts do, whatever the dive was for: days without deep dives, a stand-down.

        An event before the season lowers its ladders too, if it still applies on the first day.
        """
        table, name = self.sheet["verdicts"][verdict.name], dive["discipline"]
        if table["no_deep_days"]:
            self.lmc_n, self.no_deep_before = n, max(self.no_deep_before, n + table["no_deep_days"] + 1)
        if table["down"] and name in self.now and self.no_deep_before > self.first:
            why = self.say("lmc", date=self.on(n), down=table["down"])
            self.now[name] = lowered(self.now[name], table["down"], why)
        if table["stands_down"]:
            self.stood(n, verdict)

    def stood(self, n: int, verdict: Verdict) -> None:
        """Apply a stand-down: a new one, or another event during one."""
        stop, day = StandDown(n, n + verdict.days, verdict.name, verdict.care), max(n, self.first)
        if holds(stop, self.cleared, day) and not holds(self.stop, self.cleared, day):
            said = stop_values(self.words, stop)
            self.now = {name: resumed(self.sheet, self.ladders[name], now, said) for name, now in self.now.items()}
        self.stop = widened(self.stop, self.cleared, stop)

    def climbed(self, name: str, verdict: str, reached_m: float, *, assumed: bool) -> None:
        """Move the ladder by a clean, hard or turned dive on the plan; `harmed` handles the other verdicts."""
        if self.sheet["verdicts"][verdict]["over"] is None:
            self.now[name] = moved(self.sheet, self.ladders[name], self.now[name], verdict, reached_m, assumed)

    def is_led(self, dive: Json) -> bool:
        """Tell whether a dive was meant as the deep dive of the main discipline."""
        return dive["role"] == "deep" and dive["discipline"] == self.lead and dive["target_m"] is not None

    def is_deep(self, dive: Json) -> bool:
        """Tell whether a dive counts for the spacing: a deep dive, or any other that came near the rung."""
        name = dive["discipline"] if dive["discipline"] in self.now else self.lead
        near_m = self.numbers["second_dive_share"] * self.rung_m(name)
        return bool(dive["role"] == "deep" or dive["reached_m"] >= near_m)

    def may_try_again(self, dive: Json) -> bool:
        """Tell whether a turned dive leaves a second try: turned early, without a sign and without hard effort."""
        calm = not dive["signs"] and (dive["effort"] is None or dive["effort"] < self.numbers["hard_effort"])
        return bool(calm and dive["reached_m"] < self.numbers["second_try_share"] * dive["target_m"])

    def summary(self, name: str) -> dict[str, Any]:
        """Return where a ladder stands now, how far it reaches, and its goals."""
        ladder, now = self.ladders[name], self.known.get(name, self.now[name])
        return {
            "start_m": ladder["rungs"][ladder["start"]]["depth_m"],
            "rung_m": ladder["rungs"][now.rung]["depth_m"],
            "clean_on_rung": now.clean,
            "reaches_m": reaches(self.marks[name]),
            "goals": goals_of(self.words, ladder, self.marks[name]),
        }

    def stand_down(self) -> dict[str, Any] | None:
        """Return the stand-down as it stands today."""
        n = self.today
        if self.stop is None or not holds(self.stop, self.cleared, n):
            return None
        return {
            "since": iso(self.stop.since),
            "until": iso(self.stop.until),
            "needs_clearance": not is_cleared(self.stop, self.cleared, n),
            "why": stop_says(self.words, self.stop, self.cleared, n),
            "care": list(self.stop.care),
        }

    def rung_m(self, name: str) -> float:
        return float(rung_of(self.sheet, name, self.now)["depth_m"])

    def say(self, key: str, **values: Any) -> str:
        return fill(self.words[key], values)

    def on(self, n: int) -> str:
        return date_words(iso(n), self.words)


def _number(day: str) -> int:
    return date.fromisoformat(day).toordinal()
