"""An outlook as the server answers it, of an invented season: what the phone's page is tested with."""

from __future__ import annotations

import copy
from datetime import date, timedelta
from typing import Any

FIRST, LAST = date(2026, 5, 4), date(2026, 7, 12)
CAUTIONS = [
    "These figures are about the schedule. They tell nothing about how safe a dive is.",
    "No goal is a reason for a dive. The day, your body and your safety diver decide.",
]
NAMES = {"ears": "Ears", "chest": "Chest", "urge": "Urge to breathe", "mind": "Mind", "outside": "Outside",
         "other": "Other"}  # fmt: skip
VERDICTS = ("clean", "clean", "hard", "clean", "turned", "clean", "clean", "lmc")


def day(after: int) -> str:
    """Return the date that many days after the first day of the season."""
    return (FIRST + timedelta(days=after)).isoformat()


def full() -> dict[str, Any]:
    """Return an answer in which nothing is missing."""
    return {
        "format": 1,
        "id": "3f9a2c",
        "made_at": "2026-05-20T08:00:00Z",
        "today": "2026-05-20",
        "season": {"name": "Bay, May 2026", "first_day": day(0), "last_day": LAST.isoformat()},
        "cautions": list(CAUTIONS),
        "forecast": forecast(),
        "limits": limits(),
        "load": load(),
        "bests": bests(),
        "progress": progress(),
        "reviews": [review(1, 0, 13, is_over=True), review(2, 16, 30, is_over=False)],
    }


def forecast() -> dict[str, Any]:
    goals = [
        {"name": "floor", "depth_m": 52, "says": "The floor of 52 m: in 9 of 10 seasons like this.", "chance": 0.91,
         "if_clean_on": "2026-05-24", "likely_on": "2026-05-27"},
        {"name": "aim", "depth_m": 60, "says": "The aim of 60 m: in 6 of 10 seasons like this.", "chance": 0.62,
         "if_clean_on": "2026-06-20", "likely_on": "2026-07-02"},
        {"name": "dream", "depth_m": 65, "says": "The dream of 65 m: not with the days that are left.", "chance": 0.004,
         "if_clean_on": None, "likely_on": None},
    ]  # fmt: skip
    band = [
        {"date": day(18 + 4 * at), "low_m": 50 + 0.3 * at, "mid_m": 51 + 0.5 * at, "high_m": 52 + 0.7 * at}
        for at in range(13)
    ]
    return {
        "none_because": None,
        "says": [
            "The floor is well within the days that are left; the aim is open.",
            "Two more clean dives at 50 m come before 52 m.",
        ],
        "assumed_says": "Mostly assumption so far, 9 days with a deep dive near your best.",
        "lost_says": "1 day in 10 is assumed to be lost to weather or illness.",
        "not_clean": {"expected": 4.2, "of": 31.0, "says": "About 4 of the 31 dives that are left will not be clean."},
        "disciplines": {
            "CWT": {"goals": goals, "band": band, "says": "By 12 July 52 to 60 m in about 8 of 10 seasons like this."},
        },
    }


def limits() -> dict[str, Any]:
    def row(from_m: float, dives: int, not_clean: int, **reasons: int) -> dict[str, Any]:
        counted = {name: reasons.get(name, 0) for name in NAMES}
        return {"discipline": "CWT", "from_m": from_m, "to_m": from_m + 4.9, "dives": dives, "not_clean": not_clean,
                "reasons": counted}  # fmt: skip

    return {
        "says": "Most often it was the ears, at 50 to 54.9 m: in 3 of 12 dives.",
        "rows": [row(45, 9, 1, urge=1), row(50, 12, 4, ears=3, outside=1)],
        "names": dict(NAMES),
        "effort": [
            {"discipline": "CWT", "depth_m": 50, "says": "At 50 m the effort was 7, then 6, then 5.",
             "marks": [{"date": day(3), "effort": 7}, {"date": day(6), "effort": 6}, {"date": day(9), "effort": 5}]},
        ],
        "speeds": [
            {"discipline": "CWT", "from_m": 50, "to_m": 54.9, "dives": 5, "mean_m_s": 0.93, "spread_m_s": 0.05,
             "descent_m_s": 0.98, "ascent_m_s": 0.9},
            {"discipline": "CWT", "from_m": 45, "to_m": 49.9, "dives": 2, "mean_m_s": 0.97, "spread_m_s": None,
             "descent_m_s": None, "ascent_m_s": None},
        ],
        "conditions": [
            {"name": "Current", "hard_days": 3, "of": 5, "other_days": 2, "of_others": 20,
             "says": "On 3 of 5 days with a current a dive was hard; on 2 of 20 other days."},
        ],
    }  # fmt: skip


def load() -> dict[str, Any]:
    def week(at: int, total: float, deep: int, off: int, missing: int = 0) -> dict[str, Any]:
        known = None if missing else 1.01 + at / 10
        return {"first_day": day(7 * at), "load": total, "days": 7 - off, "deep_days": deep, "days_off": off,
                "monotony": known, "strain": known and round(total * known), "missing": missing}  # fmt: skip

    return {
        "weeks": [week(0, 1500, 3, 3), week(1, 1820, 4, 2), week(2, 640, 1, 1, missing=1)],
        "says": ["The week from 11 May was the heaviest so far."],
        "source": "session RPE after Foster",
        "formula": "Load of a day: effort of the whole day, 0 to 10, times minutes. Monotony: mean daily load divided"
        " by its standard deviation (n - 1). Strain: load of the week times monotony.",
    }


def bests() -> dict[str, Any]:
    history = [{"depth_m": 45, "on": "2025-10-11"}, {"depth_m": 50, "on": day(8)}, {"depth_m": 51, "on": day(12)}]
    return {
        "rows": [
            {"discipline": "CWT", "depth_m": 51, "on": day(12), "season": "Bay, May 2026", "history": history},
            {"discipline": "FIM", "depth_m": 48, "on": "2025-10-09", "season": None,
             "history": [{"depth_m": 48, "on": "2025-10-09"}]},
        ],
        "says": "Clean dives only.",
    }  # fmt: skip


def progress() -> dict[str, Any]:
    done = [{"date": day(2 * at), "depth_m": 44 + at, "verdict": verdict} for at, verdict in enumerate(VERDICTS)]
    planned = [{"date": day(17 + 4 * at), "depth_m": min(60, 50 + at)} for at in range(13)]
    earlier = [
        {"name": "Bay, October 2025", "days": 28, "marks": [{"day": 2 * at, "depth_m": 38 + at} for at in range(8)]},
        {"name": "Lake, June 2025", "days": 14, "marks": [{"day": 3 * at, "depth_m": 30 + 2 * at} for at in range(4)]},
    ]
    goals = [{"name": name, "depth_m": depth_m} for name, depth_m in (("floor", 52), ("aim", 60), ("dream", 65))]
    return {
        "disciplines": {
            "CWT": {"first_day": day(0), "last_day": LAST.isoformat(), "best_m": 51, "goals": goals, "done": done,
                    "planned": planned, "earlier": earlier},
        },
    }  # fmt: skip


def review(number: int, first: int, last: int, *, is_over: bool) -> dict[str, Any]:
    return {
        "first_day": day(first), "last_day": day(last), "number": number, "main": "CWT", "is_over": is_over,
        "dives": 16, "days": 8, "deep_days": 7,
        "clean_by_depth": [
            {"from_m": 45, "to_m": 49.9, "clean": 10, "of": 10, "low": 0.722, "high": 1.0},  # Wilson, 10 of 10
            {"from_m": 50, "to_m": 54.9, "clean": 5, "of": 6, "low": None, "high": None},
        ],
        "best": {"discipline": "CWT", "depth_m": 51, "on": day(12)}, "focus": ["Chin tucked to the plate"],
        "well": "", "change": "", "record": None,
        "next": {"first_day": day(16), "main": "CWT", "last_day": day(30)} if is_over else None,
        "says": [f"Block {number}: 16 dives on 8 days, 7 of them with a deep dive."],
        "health": ["Cough after one dive on 18 May."],
    }  # fmt: skip


def without_chances() -> dict[str, Any]:
    """Return an answer of a diver with fewer than 10 dives near the best: no chance, and no picture of one."""
    found = copy.deepcopy(full())
    of = found["forecast"]["disciplines"]["CWT"]
    for goal in of["goals"]:
        goal.update(chance=None, likely_on=None, says=f"{goal['depth_m']} m: somewhere between 48 and 58 m by then.")
    of["band"] = []
    found["id"] = "none"
    return found


def stood_down() -> dict[str, Any]:
    """Return an answer during a stand-down: nothing is forecast."""
    found = copy.deepcopy(full())
    found["forecast"] = {"none_because": "No depth is forecast until a doctor's clearance is recorded."}
    found["id"] = "down"
    return found


def empty() -> dict[str, Any]:
    """Return the answer for an empty log without a season."""
    found = copy.deepcopy(full())
    found.update(
        id="empty", season=None, reviews=[], progress={"disciplines": {}},
        forecast={"none_because": "There is no season: nothing is forecast."},
        limits={"says": "There are too few dives to name what limits.", "rows": [], "names": dict(NAMES), "effort": [],
                "speeds": [], "conditions": []},
        load={**load(), "weeks": [], "says": []}, bests={"rows": [], "says": "No clean dive is logged yet."},
    )  # fmt: skip
    return found
