"""The ladder sheet as it is sent: small enough for a weak signal, and the same for phones with an older app."""

from __future__ import annotations

import json

from support.seasons import day, sheet_of
from support.story import season

MOST_BYTES = 40_000  # of a usual season, before compression

TWO = [
    {
        "discipline": name, "best_m": best_m, "comfortable_m": best_m - 5, "comfortable_on": day(-3), "step_m": 2,
        "repeats": 3, "repeats_below_best": 1,
        "goals": {"floor_m": best_m + 2, "aim_m": best_m + 6, "dream_m": best_m + 10},
    }
    for name, best_m in (("FIM", 50), ("CWT", 60))
]  # fmt: skip


def test_the_sheet_of_a_usual_season_is_small() -> None:
    """Seven weeks, two disciplines to 60 and 70 m in steps of 2 m, drills."""
    raw = season(
        last_day=day(48), block_days=21, break_days=6, disciplines=TWO, site={"bottom_m": 90}, lead=["FIM", "CWT"]
    )
    assert len(json.dumps(sheet_of(raw), separators=(",", ":"))) <= MOST_BYTES


def test_a_change_adds_only_what_differs_and_no_card() -> None:
    raw = season(changes=[{"from": day(5), "set": {"days_on": 3}, "why": "calm water"}])
    (past,) = sheet_of(raw)["past"]
    assert set(past) == {"until", "restarts"}
    stepped = season(changes=[{"from": day(5), "set": {"disciplines": [{**season()["disciplines"][0], "step_m": 1}]}}])
    (past,) = sheet_of(stepped)["past"]
    assert set(past) == {"until", "restarts", "disciplines"}
    assert not any("card" in rung for rung in past["disciplines"]["FIM"]["rungs"])


def test_the_sheet_keeps_every_key_that_phones_of_the_first_release_read() -> None:
    sheet = sheet_of(season(rules={"warm_up.dives": 1}))
    assert sheet["format"] == 1
    rung = sheet["disciplines"]["FIM"]["rungs"][0]
    assert {"depth_m", "resume", "drill_m", "warm_up_m", "expected_s", "card"} <= set(rung)
    assert {"start", "start_why", "repeats", "best_m", "cap_m", "goals"} <= set(sheet["disciplines"]["FIM"])
    assert {"discipline", "dives", "easy_m"} == set(sheet["drill"])
