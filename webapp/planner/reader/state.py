"""What the reader knows of a diver on one day: ladders, comfortable depths, bests, rest and harm."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from .boat_day import Said
from .comfort import Comfort, Idle, comfortable_m, dived_clean, near_on, opened
from .daylist import Wanted
from .harm import Harm
from .limit import limited
from .proposed import cap_why, most_m
from .rest import NEVER, Rest
from .sentences import date_words, fill, number, steps
from .standdown import iso
from .standing import Standing, carried, moved, rung_at, standing_at
from .verdict import Verdict

Json = Mapping[str, Any]
NO_IDLE = Idle(0, 0, "", "")


class State:
    """The state of one pass over the days; it changes none of what it is given. Days are day numbers."""

    def __init__(self, sheet: Json, log: Sequence[Json]) -> None:
        self.words = sheet["words"]
        self.stages = [*({**sheet, **past} for past in sheet["past"]), {**sheet, "until": None}]
        self.ladders: Json = {}
        self.now: dict[str, Standing] = {}
        self.comfort: dict[str, Comfort] = {}
        self.best: dict[str, float] = {}
        self.rest = Rest()
        cleared = [number(record["clearance"]) for record in log if record["kind"] == "clearance"]
        self.harm = Harm(cleared, number(sheet["first_day"]))
        self.idle = NO_IDLE
        self.enter()
        self.lead: str = sheet["days"][0]["lead"] or next(iter(self.now))

    def enter(self) -> None:
        """Go on with the next stage of the season: each standing goes on by its depth, or where the change set it."""
        self.sheet = self.stages.pop(0)
        before, self.ladders = self.ladders, self.sheet["disciplines"]
        standings: dict[str, Standing] = {}
        for name, ladder in self.ladders.items():
            self.best[name] = max(self.best.get(name, 0), ladder["best_m"])
            fresh = standing_at(ladder["stands"], ladder["stands_why"], is_set=ladder["is_given"])
            if name not in before:  # what happened since its comfortable dive counts for it as for the others
                fresh = self.harm.entered(name, ladder, fresh, number(ladder["near_on"]))
            there = carried(before[name], ladder, self.now[name]) if name in before else fresh
            if name in before and name not in self.sheet["restarts"]:
                standings[name] = there
                continue
            # what an event did to the ladder is not undone by a new start
            standings[name] = there if self.harm.applied and there.rung < fresh.rung else fresh
            self.comfort[name] = Comfort(ladder["comfortable_m"], ladder["repeats"], number(ladder["near_on"]))
        self.now = standings

    def led_by(self, name: str | None) -> None:
        """Take the main discipline of a day; between blocks it stays, and a change may have taken it away."""
        self.lead = name or self.lead
        self.lead = self.lead if self.lead in self.now else next(iter(self.now))

    def wanted(self, n: int, said: Said) -> Wanted:
        """Return the deep dive of a day, as far as the ladders and what was said of the day go.

        It is the deepest rung that is no deeper than a coach proposed; the lowest one when all are.
        """
        wanted = self.asked(n, said)
        most = most_m(said, wanted.name)
        if most is None or self.rung_m(wanted.name, wanted.rung) <= most:
            return wanted
        rung = rung_at(self.ladders[wanted.name], most)
        return Wanted(wanted.name, wanted.standing, rung, cap_why(said, wanted.name), True)

    def asked(self, n: int, said: Said) -> Wanted:
        """Return the deep dive of a day, as far as the ladders and the diver's word for the day go."""
        usual = self.opened(self.lead, n)
        usual_m = self.rung_m(self.lead, usual.rung)
        if said.main and said.main != self.lead and said.main in self.now:
            return self.instead(n, said.main, usual_m)
        held = usual.rung if usual.dived is None or not said.hold else min(usual.rung, usual.dived)
        rung = max(0, min(held, usual.rung - said.shallower))
        if rung == usual.rung:
            return Wanted(self.lead, usual, rung, usual.why, False)
        if held > rung:
            why = self.say("asked_shallower", steps=steps(usual.rung - rung, self.words), depth=usual_m)
        else:
            why = self.say("asked_hold", depth=self.rung_m(self.lead, rung))
        return Wanted(self.lead, usual, rung, why, True)

    def instead(self, n: int, name: str, most_m: float) -> Wanted:
        """Return the deep dive in the discipline that the diver asked for, no deeper than the usual one."""
        standing = self.opened(name, n)
        rung = min(standing.rung, rung_at(self.ladders[name], most_m))
        why = self.say("asked_main", discipline=name, planned=self.lead)
        return Wanted(name, standing, rung, why, rung < standing.rung)

    def opened(self, name: str, n: int) -> Standing:
        """Return the standing with which a deep dive of this discipline begins on day `n`."""
        ladder, before = self.ladders[name], self.idle
        idle = Idle(n - self.last_deep(name), before.rungs, before.why, before.said)
        standing = opened(self.sheet, ladder, self.now[name], self.comfort[name], n, idle)
        return limited(self.sheet, ladder, self.harm.limit, standing)

    def last_deep(self, name: str) -> int:
        """Return the day of the last deep dive: of the log, else the comfortable dive with which the season begins."""
        return self.rest.n if self.rest.n != NEVER else self.comfort[name].near_n

    def learned(self, n: int, dive: Json, is_clean: bool) -> None:
        """Take in how deep a dive went: for the time away, and if it was clean, for comfortable depth and best.

        For the comfortable depth a dive counts with its target: what went deeper by chance is no habit.
        """
        name = dive["discipline"]
        if is_clean and name in self.best:
            self.best[name] = max(self.best[name], depth_m(dive))
        if is_clean:
            self.comforted(n, name, dive["target_m"] or dive["reached_m"])
        self.neared(n, dive["reached_m"])

    def assumed(self, n: int, name: str, target_m: float) -> None:
        """Take in a dive to come as if it were clean; it is no best before it is dived."""
        self.comforted(n, name, target_m)
        self.neared(n, target_m)

    def comforted(self, n: int, name: str, clean_m: float) -> None:
        """Take in a clean dive for the comfortable depth of its discipline."""
        if name in self.comfort and n >= self.comfort[name].near_n:
            self.comfort[name] = dived_clean(self.comfort[name], clean_m)

    def neared(self, n: int, reached_m: float) -> None:
        """Take in a dive for the time away of every discipline."""
        share = self.sheet["numbers"]["near_share"]
        for key, comfort in self.comfort.items():
            if n > comfort.near_n and reached_m >= share * comfortable_m(comfort):
                self.comfort[key] = near_on(comfort, n)

    def harmed(self, n: int, dive: Json, verdict: Verdict) -> None:
        """Apply what the worse verdicts do, whatever the dive was for; every sign's consequence holds."""
        for name, days in verdict.events:
            self.now = self.harm.happened(self.sheet, self.now, n, dive, (name, days), verdict.care)

    def dived_clean_outside(self, reached_m: float) -> None:
        """Take in a clean deep dive outside the season: near the depth of the event it counts for its limit."""
        limit = self.harm.limit
        if limit is not None and reached_m >= self.sheet["numbers"]["near_share"] * limit.depth_m:
            self.harm.dived_clean()

    def taxed(self, n: int, dive: Json) -> None:
        """Take in a deep dive: after a taxing one the next waits longer."""
        numbers = self.sheet["numbers"]
        if dive["effort"] is not None and dive["effort"] >= numbers["taxing_effort"]:
            self.rest.taxed(n, numbers["taxing_days"])

    def begun(self, n: int, wanted: Wanted, reached_m: float) -> None:
        """Take over the standing with which the day began, now that its deep dive is made.

        A dive that came near its rung ends the time away.
        """
        self.now[wanted.name] = wanted.standing
        if reached_m >= self.sheet["numbers"]["near_share"] * self.rung_m(wanted.name, wanted.rung):
            self.comfort[wanted.name] = near_on(self.comfort[wanted.name], n)
            self.idle = NO_IDLE

    def climbed(self, wanted: Wanted, deed: Json, assumed: bool) -> None:
        """Move the ladder by a clean, hard or turned dive on the plan; `harmed` handles the other verdicts."""
        if self.sheet["verdicts"][deed["verdict"]]["over"] is not None:
            return
        name = wanted.name
        self.now[name] = moved(self.sheet, self.ladders[name], self.now[name], deed, assumed)
        least_m = self.rung_m(name, wanted.rung) - self.sheet["numbers"]["tolerance_m"]
        if deed["verdict"] == "clean" and deed["reached_m"] >= least_m:
            self.harm.dived_clean()
        if wanted.is_asked:
            self.now[name] = self.now[name]._replace(dived=wanted.rung)

    def rested(self, n: int, said: Said) -> None:
        """Take in what the diver said of the day for the days after it."""
        if said.taxing:
            self.rest.taxed(n, self.sheet["numbers"]["taxing_days"])
        if said.no_diving:
            why = self.sheet["no_diving"][said.no_diving]
            if why["rungs"] >= max(1, self.idle.rungs):
                self.idle = Idle(0, why["rungs"], f"after_{said.no_diving}", why["says"].lower())

    def is_deep(self, dive: Json, wanted: Wanted | None) -> bool:
        """Tell whether a dive counts for the spacing: a deep dive, or any other that came near the rung.

        A deep dive that was turned far above its target was none.
        """
        numbers, name = self.sheet["numbers"], dive["discipline"] if dive["discipline"] in self.now else self.lead
        rung = wanted.rung if wanted and wanted.name == name else self.now[name].rung
        if dive["reached_m"] >= numbers["second_dive_share"] * self.rung_m(name, rung):
            return True
        least_m = numbers["counts_share"] * (dive["target_m"] or 0)
        return bool(dive["role"] == "deep" and dive["reached_m"] >= least_m)

    def stands(self, name: str) -> dict[str, Any]:
        """Return where a ladder stands, for the plan."""
        now = self.now[name]
        return {
            "rung_m": self.rung_m(name, now.rung), "clean_on_rung": now.clean,
            "comfortable_m": comfortable_m(self.comfort[name]), "best_m": self.best[name],
        }  # fmt: skip

    def comfortable(self, name: str) -> int:
        """Return the rung of the comfortable depth of a discipline."""
        return rung_at(self.ladders[name], comfortable_m(self.comfort[name]))

    def rung_m(self, name: str, rung: int) -> float:
        """Return the depth of a rung in metres."""
        return float(self.ladders[name]["rungs"][rung]["depth_m"])

    def say(self, key: str, **values: Any) -> str:
        """Return a sentence of the sheet."""
        return fill(self.words[key], values)

    def forbids(self, n: int, said: Said) -> tuple[str | None, str | None]:
        """Return why no dive is allowed on day `n`, and why no deep dive is; None for each that is."""
        no_deep = self.not_ready_says(said.not_ready) if said.not_ready else self.harm.no_deep_says(self.words, n)
        return self.harm.stop_says(self.words, n), no_deep

    def not_ready_says(self, codes: Sequence[str]) -> str:
        """Return why there is no deep dive today, in the order of the sheet."""
        known = self.sheet["not_ready"]
        return self.say("not_ready", why=", ".join(known[code] for code in known if code in codes))

    def on(self, n: int) -> str:
        """Return a day in words."""
        return date_words(iso(n), self.words)


def depth_m(dive: Json) -> float:
    """Return the depth that a clean dive counts for: the deeper of its target and the depth reached."""
    return float(max(dive["reached_m"], dive["target_m"] or 0))
