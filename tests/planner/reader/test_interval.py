"""Surface intervals by any rules: each rule as it circulates, the longest first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.planner.reader.interval import needed
from webapp.water.interval import Rule, bars_by_metre
from webapp.water.pressure import Water, absolute_bar

WATER = Water(35, 22, 30)
BARS = bars_by_metre(250, WATER)
X_BAR = Rule("dive time x bar", per_dive_bar=1)
RULES = (
    Rule("2 x dive time", per_dive=2),
    Rule("3 x dive time", per_dive=3),
    Rule("5 x dive time", per_dive=5),
    X_BAR,
    Rule("a minute for 5 m", per_m=12),
    Rule("after 60 m", fixed_s=900, from_m=60),
)


def table(bars: Sequence[float], rules: Sequence[Rule] = RULES) -> dict[str, Any]:
    return {"bars": bars, "rules": [asdict(rule) for rule in rules]}


def everywhere(bar: float) -> list[float]:
    """The same pressure at each metre: what a worked row was calculated with."""
    return [bar] * 1001


# source (seen): the rules as quoted in Mulder et al. 2023 (2 x), an instructor's text (3 x, x bar), a column (5 x);
# depth / 5 is common practice. Worked minutes computed with 1025 kg/m3.
@pytest.mark.parametrize(
    ("reached_m", "dive_s", "bar", "minutes"),
    [
        (30, 60, 4.0288, [2.0, 3.0, 5.0, 4.03, 6.0]),
        (40, 80, 5.0340, [2.7, 4.0, 6.7, 6.71, 8.0]),
        (60, 120, 7.0443, [4.0, 6.0, 10.0, 14.09, 12.0, 15.0]),
        (80, 160, 9.0547, [5.3, 8.0, 13.3, 24.15, 16.0, 15.0]),
        (100, 210, 11.0651, [7.0, 10.5, 17.5, 38.73, 20.0, 15.0]),
    ],
)
def test_each_rule_asks_for_its_own_pause(reached_m: float, dive_s: float, bar: float, minutes: list[float]) -> None:
    found = {pause["name"]: pause["seconds"] / 60 for pause in needed(table(everywhere(bar)), reached_m, dive_s)}
    asked = [found[rule.name] for rule in RULES if rule.name in found]
    assert asked == pytest.approx(minutes, abs=0.06)


def test_one_minute_to_30_m_is_about_four_minutes_of_pause() -> None:
    """Source (seen): one minute to 30 m gives four minutes by the rule of absolute pressure."""
    (pause,) = needed(table(everywhere(absolute_bar(30, Water(35, 20, 40))), [X_BAR]), 30, 60)
    assert pause["seconds"] == pytest.approx(240, abs=4)


def test_the_longest_pause_comes_first_and_a_rule_that_asks_for_nothing_is_left_out() -> None:
    found = needed(table(everywhere(7.0443), [Rule("nothing"), *RULES]), 60, 120)
    assert found[0] == {"name": "after 60 m", "seconds": 900}
    seconds = [pause["seconds"] for pause in found]
    assert seconds == sorted(seconds, reverse=True)
    assert len(found) == len(RULES)
    assert needed(table(BARS, []), 20, 60) == []


def test_the_floor_after_deep_dives_holds_from_its_depth_on() -> None:
    floor = [RULES[-1]]
    assert needed(table(BARS, floor), 59.9, 120) == []
    assert needed(table(BARS, floor), 60, 120) == [{"name": "after 60 m", "seconds": 900}]


def test_between_two_metres_the_pressure_of_the_deeper_one_counts() -> None:
    assert needed(table(BARS, [X_BAR]), 29.1, 60) == needed(table(BARS, [X_BAR]), 30, 60)


@given(depth=st.floats(0, 199), dive_s=st.floats(1, 600), more_m=st.floats(0, 1), more_s=st.floats(0, 300))
def test_a_deeper_or_longer_dive_never_gets_a_shorter_pause(
    depth: float, dive_s: float, more_m: float, more_s: float
) -> None:
    plain, harder = needed(table(BARS), depth, dive_s), needed(table(BARS), depth + more_m, dive_s + more_s)
    assert harder[0]["seconds"] >= plain[0]["seconds"]
