"""Times along the line against published dives, and speeds from a diver's log."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.water.errors import OutOfRange
from webapp.water.times import (
    Pace,
    at_ascent_s,
    at_descent_s,
    fitted,
    speed_from_log,
    total_s,
)

FOOT_M = 0.3048
speeds = st.floats(0.3, 2)
usual = st.floats(0.6, 1.3)
paces = st.builds(Pace, speeds, speeds, speeds, turn_s=st.floats(0, 20), free_fall_m=st.none() | st.floats(0, 60))


# source (seen): Schaefer et al., Science 1968;162:1020-1023, abstract: 217.5 ft, down 3.95 ft/s, up 3.50 ft/s
def test_a_dive_of_1967_takes_as_long_as_its_printed_speeds_say():
    depth = 217.5 * FOOT_M
    assert depth == pytest.approx(66.29, abs=0.01)
    pace = Pace(3.95 * FOOT_M, 3.95 * FOOT_M, 3.50 * FOOT_M, 0)
    assert at_descent_s(depth, pace) == pytest.approx(217.5 / 3.95)
    assert total_s(depth, pace) == pytest.approx(55.06 + 62.14, abs=0.02)


# source (seen): Mulder et al., Front Physiol 2021;12:651128, abstract: 73 m in 150 s; Scott et al. 2021: 60 m in 2 min
@pytest.mark.parametrize(("depth_m", "dive_s", "expected"), [(73, 150, 0.973), (60, 120, 1.0)])
def test_mean_speed_of_published_dives(depth_m, dive_s, expected):
    found = speed_from_log([(depth_m, dive_s)], 0.8, 0, 1, (0.3, 2.0))
    assert (found.m_s, found.dives) == (pytest.approx(expected, abs=0.001), 1)


# source (computed): 1.0 m/s down, 0.9 m/s up, 3 s at the turn
@pytest.mark.parametrize(("depth_m", "expected"), [(30, 66.3), (40, 87.4), (60, 129.7), (80, 171.9), (100, 214.1)])
def test_total_time(depth_m, expected):
    assert total_s(depth_m, Pace(1.0, 1.0, 0.9, 3)) == pytest.approx(expected, abs=0.06)


def test_free_fall_changes_the_speed_at_its_depth():
    pace = Pace(1.0, 0.8, 1.0, 4, free_fall_m=20)
    assert at_descent_s(20, pace) == pytest.approx(20)
    assert at_descent_s(36, pace) == pytest.approx(40)
    assert at_ascent_s(16, 36, pace) == pytest.approx(40 + 4 + 20)
    assert at_descent_s(10, pace) == pytest.approx(10)


def test_a_point_below_the_target_is_refused():
    with pytest.raises(OutOfRange, match="0 to 40 m"):
        at_ascent_s(41, 40, Pace(1, 1, 1, 3))


def test_speed_comes_from_the_log_when_there_are_enough_dives_and_says_how_many():
    dives = [(40.0, 83.0), (42.0, 87.0), (44.0, None), (45.0, 93.0), (50.0, 5.0), (30.0, 800.0)]
    found = speed_from_log(dives, 0.8, 3, 3, (0.3, 2.0))
    assert found.m_s == pytest.approx(1.0)
    assert found.dives == 3
    assert "3 logged dives" in found.says


def test_speed_comes_from_the_rulebook_when_the_log_is_thin():
    found = speed_from_log([(40.0, 83.0)], 0.8, 3, 3, (0.3, 2.0))
    assert (found.m_s, found.dives) == (0.8, 0)
    assert "rulebook" in found.says
    assert speed_from_log([], 0.8, 3, 0, (0.3, 2.0)).dives == 0


def test_a_dive_no_longer_than_its_turn_counts_as_a_typing_error():
    assert speed_from_log([(10, 4), (10, 5)], 0.8, 5, 1, (0.3, 2.0)).dives == 0


@given(pace=paces, target=st.floats(1, 200), share=st.floats(0, 1))
def test_way_down_and_way_up_agree(pace, target, share):
    depth = target * share
    down, up = at_descent_s(depth, pace), at_ascent_s(depth, target, pace)
    assert 0 <= down <= at_descent_s(target, pace) <= up <= total_s(target, pace)
    assert up - at_descent_s(target, pace) == pytest.approx(pace.turn_s + (target - depth) / pace.ascent_m_s)
    assert at_ascent_s(target, target, pace) == pytest.approx(at_descent_s(target, pace) + pace.turn_s)


@given(pace=paces, shallow=st.floats(0, 150), more=st.floats(0.1, 50))
def test_deeper_takes_longer(pace, shallow, more):
    assert total_s(shallow + more, pace) > total_s(shallow, pace)


@given(swim=usual, fall=usual, ascent=usual, free_fall_m=st.floats(0, 60), target=st.floats(5, 150), mean=usual)
def test_a_fitted_pace_takes_the_divers_own_time(swim, fall, ascent, free_fall_m, target, mean):
    pace = Pace(swim, fall, ascent, 3, free_fall_m)
    own = fitted(pace, target, mean)
    assert total_s(target, own) == pytest.approx(2 * target / mean + 3)
    assert speed_from_log([(target, total_s(target, own))], 0.1, 3, 1, (0.3, 2.0)).m_s == pytest.approx(mean)
    assert own.swim_m_s / own.ascent_m_s == pytest.approx(pace.swim_m_s / pace.ascent_m_s)
