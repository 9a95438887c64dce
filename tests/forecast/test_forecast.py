"""What the forecast says, and when it says nothing: its numbers have an order, and its words promise nothing."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from support.seasons import day, dive, sheet_of, without_cards, word

from webapp.forecast.chances import scale_of
from webapp.forecast.forecast import FINE, Asked, band_of, forecast_of, inside, reached_by, told_of
from webapp.planner.reader.ladder import read
from webapp.rulebook_file import read_rulebook

Json = dict[str, Any]
BOOK = read_rulebook()
WORDS = BOOK.texts["outlook"]
NEARLY = 2e-4  # what is taken together moves a chance by less
GOALS = {"floor_m": 50, "aim_m": 54, "dream_m": 62}
PROMISES = re.compile(r"\b(safe|safely|safety|go|blackouts?|ready|guaranteed?|certain|will)\b", re.IGNORECASE)


@cache
def sheet(last: int = 30, **goals: float) -> Json:
    level = {
        "discipline": "FIM", "step_m": 2, "repeats": 2, "repeats_below_best": 1, "best_m": 48, "comfortable_m": 46,
        "comfortable_on": day(-2), "goals": goals or GOALS,
    }  # fmt: skip
    return without_cards(sheet_of({
        "first_day": day(0), "last_day": day(last), "days_on": 3, "days_off": 1, "closed_days": [], "block_days": 90,
        "break_days": 0, "site": {"name": "Invented Bay", "bottom_m": 150}, "lead": ["FIM"], "drill": None,
        "disciplines": [level], "rules": {},
    }))  # fmt: skip


def dived(count: int, *bad: int, of: Json | None = None) -> list[Json]:
    """Return a log of the first deep dives of a season, each by the plan; `bad` ones are turned."""
    found, log = of or sheet(), []
    for at in range(count):
        deep = read(found, log, log[-1]["date"] if log else day(0))["next"]
        reached_m = deep["target_m"] - 5 if at in bad else deep["target_m"]
        why = {"turned_why": "mind"} if at in bad else {}
        log.append(dive(id=f"d{at:02}", date=deep["date"], target_m=deep["target_m"], reached_m=reached_m, **why))
    return log


def said_of(log: list[Json], today: str, found: Json | None = None) -> Json:
    found = found or sheet()
    return forecast_of(found, log, today, read(found, log, today), BOOK)


def goals_of(said: Json) -> list[Json]:
    return list(said["disciplines"]["FIM"]["goals"])


def texts(said: Any) -> Iterator[str]:
    """Yield every sentence in an answer."""
    if isinstance(said, str):
        yield said
    for one in said.values() if isinstance(said, dict) else said if isinstance(said, list) else ():
        yield from texts(one)


def test_nothing_is_forecast_while_a_stand_down_needs_a_doctors_clearance() -> None:
    log = [*dived(3), dive(id="bad", date=day(4), target_m=48, reached_m=48, signs=["blackout"])]
    assert said_of(log, day(5)) == {"none_because": WORDS["none_stand_down"]}
    assert not re.search(r"\d", WORDS["none_stand_down"])
    stop = read(sheet(), log, day(5))["stand_down"]
    cleared = {"id": "c", "kind": "clearance", "clearance": stop["until"], "by": "Dr. Invented"}
    assert said_of([*log, cleared], stop["until"], sheet(80) if stop["until"] > day(30) else sheet())["says"]


def test_nothing_is_forecast_when_the_season_is_over() -> None:
    assert said_of(dived(5), day(31)) == {"none_because": WORDS["none_over"]}


@pytest.mark.parametrize("days", [0, 1, 9])
def test_with_fewer_than_ten_days_near_the_best_there_is_a_range_in_words_and_no_chance(days: int) -> None:
    log = dived(days)
    said = said_of(log, log[-1]["date"] if log else day(0))
    for goal in goals_of(said):
        assert (goal["chance"], goal["by_plan"], goal["likely_on"]) == (None, None, None)
    assert not [text for text in texts(said) if "%" in text or "of 10 seasons like this reach" in text]
    assert "between" in said["disciplines"]["FIM"]["says"]
    assert said["assumed_says"].startswith("Mostly assumption so far")


def test_from_ten_days_near_the_best_on_each_open_goal_has_its_chance() -> None:
    log = dived(10)
    said = said_of(log, log[-1]["date"])
    assert all(
        0 <= goal["chance"] <= 1 for goal in goals_of(said) if (goal["if_clean_on"] or day(99)) > log[-1]["date"]
    )
    assert [text for text in texts(said) if "of 10 seasons like this reach" in text]
    assert said["assumed_says"].startswith("Partly assumption so far")


def test_no_sentence_promises_anything_or_names_harm_to_come() -> None:
    stories = [
        (dived(0), day(0)),
        (dived(4), day(4)),
        (dived(10), day(12)),
        (dived(14, 8, 9, 12), day(18)),
        ([], day(40)),
    ]
    ill = [*dived(3), word(day(4), to=day(6), no_diving="sick")]
    for log, today in [*stories, (ill, day(4))]:
        said = list(texts(said_of(log, today)))
        assert said
        assert not [text for text in said if PROMISES.search(text)]


@pytest.mark.parametrize("bad", [(), (3,), (7, 8, 9)])
def test_a_deeper_goal_is_never_more_likely_and_an_earlier_day_neither(bad: tuple[int, ...]) -> None:
    found = sheet(44, floor_m=56, aim_m=60, dream_m=66)
    log = dived(10, *bad, of=found)
    said = said_of(log, log[-1]["date"], found)
    assert all(one["chance"] >= other["chance"] for one, other in pairwise(goals_of(said)))
    assert all((goal["by_plan"] or 0) <= goal["chance"] for goal in goals_of(said))
    told = told_of(asked(found, log, log[-1]["date"]), FINE)[0]["FIM"]
    for number in (1, 2, 3):
        chances = [reached_by(told, number, one.date) for one in told]
        assert all(later >= one - NEARLY for one, later in pairwise(chances))


def test_a_longer_season_never_makes_a_goal_less_likely() -> None:
    seasons = [sheet(last, floor_m=56, aim_m=60) for last in (20, 24, 32, 44)]
    log = dived(10, of=seasons[0])
    chances = [[goal["chance"] for goal in goals_of(said_of(log, log[-1]["date"], one))] for one in seasons]
    for short, long in pairwise(chances):
        assert all(later >= one - 2 * NEARLY for one, later in zip(short, long, strict=True))
    assert chances[0][1] < chances[-1][1]


def test_one_dive_left_has_the_mean_chance_of_a_clean_dive_on_a_day_that_is_not_lost() -> None:
    log = dived(11)
    deep = read(sheet(), log, log[-1]["date"])["next"]
    deep_m, on = deep["target_m"], deep["date"]
    assert max(one["reached_m"] for one in log) < deep_m
    last = sheet(30, aim_m=deep_m)
    last = {**last, "days": [slot for slot in last["days"] if slot["date"] <= on]}
    told, chances = told_of(asked(last, log, on), FINE)
    beyond = scale_of(last["disciplines"]["FIM"]).beyond(deep_m)
    by_hand = sum(
        weight * (1 - lapse) / (1 + np.exp(slope * (beyond - middle)))
        for middle, slope, lapse, weight in zip(
            *(getattr(chances["FIM"], name).tolist() for name in ("middle", "slope", "lapse", "weight")), strict=True
        )
    )
    assert reached_by(told["FIM"], 1) == pytest.approx(by_hand * (1 - BOOK.value("forecast.lost")), abs=1e-9)
    [goal] = goals_of(said_of(log, on, last))
    assert goal["chance"] == pytest.approx(by_hand * (1 - BOOK.value("forecast.lost")), abs=6e-4)


def test_days_that_the_diver_called_off_have_no_dive_and_bring_no_goal_nearer() -> None:
    log = dived(10)
    today = log[-1]["date"]
    off = [*log, word(day(14), to=day(20), no_diving="weather")]
    one, other = said_of(log, today), said_of(off, today)
    assert other["not_clean"]["of"] < one["not_clean"]["of"]
    assert goals_of(other)[2]["chance"] <= goals_of(one)[2]["chance"] + NEARLY


def test_the_band_has_its_depths_in_order_and_what_is_not_clean_is_a_part_of_the_dives() -> None:
    log = dived(10)
    said = said_of(log, log[-1]["date"])
    assert all(one["low_m"] <= one["mid_m"] <= one["high_m"] for one in said["disciplines"]["FIM"]["band"])
    assert 0 < said["not_clean"]["expected"] < said["not_clean"]["of"]


# Chances of the rungs, the band by hand, and what lies in it. Shallower than the low end, and deeper than the high one,
# lies what is nearest to a tenth.
BANDS: dict[str, tuple[dict[float, float], tuple[float, float, float], float]] = {
    "a tenth beyond each end": ({50: 0.1, 52: 0.3, 54: 0.3, 56: 0.2, 58: 0.1}, (52, 54, 56), 0.8),
    "0.06 and 0.04 are nearer than nothing": ({50: 0.06, 52: 0.2, 54: 0.7, 56: 0.04}, (52, 54, 54), 0.9),
    "0.18 is nearer than nothing": ({50: 0.18, 52: 0.64, 54: 0.18}, (52, 52, 52), 0.64),
    "0.22 is further than nothing": ({50: 0.22, 52: 0.56, 54: 0.22}, (50, 52, 54), 1),
    "as near: the outer one": ({50: 0.2, 52: 0.6, 54: 0.2}, (50, 52, 54), 1),
    "one rung": ({50: 1}, (50, 50, 50), 1),
}


@pytest.mark.parametrize(("rung", "ends", "within"), BANDS.values(), ids=BANDS)
def test_a_band_ends_where_a_share_next_to_a_tenth_lies_beyond(
    rung: dict[float, float], ends: tuple[float, float, float], within: float
) -> None:
    band = band_of(rung)
    assert (band["low_m"], band["mid_m"], band["high_m"]) == ends
    assert inside(rung, band) == pytest.approx(within)


def test_the_range_says_in_how_many_of_ten_seasons_the_ladder_stands_in_it() -> None:
    log = dived(10)
    told = told_of(asked(sheet(), log, log[-1]["date"]), FINE)[0]["FIM"]
    within = inside(told[-1].rung, band_of(told[-1].rung))
    assert 0.65 < within < 0.95
    says = said_of(log, log[-1]["date"])["disciplines"]["FIM"]["says"]
    assert says.endswith(f" m in about {round(10 * within)} of 10 seasons like this.")


def asked(found: Json, log: list[Json], today: str) -> Asked:
    return Asked(found, log, today, read(found, log, today), BOOK)
