"""Surface intervals: each rule as it circulates, the longest first."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.water.interval import Rule, bars_by_metre, longest_s, pauses
from webapp.water.pressure import Water, absolute_bar

RULES = (
    Rule("2 x dive time", per_dive=2),
    Rule("3 x dive time", per_dive=3),
    Rule("5 x dive time", per_dive=5),
    Rule("dive time x bar", per_dive_bar=1),
    Rule("a minute for 5 m", per_m=12),
    Rule("after 60 m", fixed_s=900, from_m=60),
)


# source (seen): the rules as quoted in Mulder et al. 2023 (2 x), an instructor's text (3 x, x bar), a column (5 x);
# depth / 5 is common practice. Worked minutes computed with 1025 kg/m3.
@pytest.mark.parametrize(
    ("depth_m", "dive_s", "bar", "minutes"),
    [
        (30, 60, 4.0288, [2.0, 3.0, 5.0, 4.03, 6.0]),
        (40, 80, 5.0340, [2.7, 4.0, 6.7, 6.71, 8.0]),
        (60, 120, 7.0443, [4.0, 6.0, 10.0, 14.09, 12.0, 15.0]),
        (80, 160, 9.0547, [5.3, 8.0, 13.3, 24.15, 16.0, 15.0]),
        (100, 210, 11.0651, [7.0, 10.5, 17.5, 38.73, 20.0, 15.0]),
    ],
)
def test_each_rule_asks_for_its_own_pause(depth_m, dive_s, bar, minutes):
    found = {pause.name: pause.seconds / 60 for pause in pauses(depth_m, dive_s, bar, RULES)}
    asked = [found[rule.name] for rule in RULES if rule.name in found]
    assert asked == pytest.approx(minutes, abs=0.06)


# source (seen): one minute to 30 m gives four minutes by the rule of absolute pressure
def test_one_minute_to_30_m_is_about_four_minutes_of_pause():
    (pause,) = pauses(30, 60, absolute_bar(30, Water(35, 20, 40)), [Rule("x bar", per_dive_bar=1)])
    assert pause.seconds == pytest.approx(240, abs=4)


def test_the_longest_pause_comes_first_and_counts():
    found = pauses(60, 120, 7.0443, RULES)
    assert found[0].name == "after 60 m"
    assert longest_s(found) == found[0].seconds == 900
    assert [pause.seconds for pause in found] == sorted((pause.seconds for pause in found), reverse=True)


def test_the_floor_after_deep_dives_holds_from_its_depth_on():
    assert "after 60 m" not in [pause.name for pause in pauses(59.9, 120, 7.03, RULES)]
    assert longest_s(pauses(20, 60, 3, [])) == 0


def test_the_table_for_the_phone_has_the_pressure_of_each_metre():
    water = Water(35, 22, 30)
    assert bars_by_metre(40, water)[40] == absolute_bar(40, water)
    assert len(bars_by_metre(40, water)) == 41


@given(depth=st.floats(0, 199), dive_s=st.floats(1, 600), more_m=st.floats(0, 1), more_s=st.floats(0, 300))
def test_a_deeper_or_longer_dive_never_gets_a_shorter_pause(depth, dive_s, more_m, more_s):
    water = Water(35, 22, 30)
    plain = longest_s(pauses(depth, dive_s, absolute_bar(depth, water), RULES))
    harder = longest_s(pauses(depth + more_m, dive_s + more_s, absolute_bar(depth + more_m, water), RULES))
    assert harder >= plain
