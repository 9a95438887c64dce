"""Mouthfill and cavities: Boyle's upper bound, never without its caution."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.water.mouthfill import equalise_ml, for_target, left_ml, reach_m
from webapp.water.pressure import Water, depth_of_gauge_bar

PLAIN_SEA = Water(33.735, 15, 45)  # 1025 kg/m3


# source (computed from Boyle's law, own derivation): charge at a depth, cavities, rest in the mouth, deepest depth
@pytest.mark.parametrize(
    ("charge_ml", "charge_m", "cavity_ml", "least_ml", "expected"),
    [
        (200, 20, 20, 50, 84.5),
        (250, 20, 20, 50, 105.9),
        (250, 20, 40, 50, 86.8),
        (150, 15, 20, 50, 50.8),
        (250, 30, 20, 50, 144.5),
        (200, 20, 0, 50, 110.2),  # source (seen): an instructor's "potential around 4" times the pressure
        (200, 30, 0, 50, 150.2),
    ],
)
def test_the_deepest_depth_of_a_charge(charge_ml, charge_m, cavity_ml, least_ml, expected):
    assert reach_m(charge_ml, charge_m, cavity_ml, least_ml, PLAIN_SEA) == pytest.approx(expected, abs=0.2)


# source (computed): 250 mL charged at 20 m hold 107.3 mL at 60 m, 95.9 mL with 20 mL of cavities
@pytest.mark.parametrize(("cavity_ml", "expected"), [(0, 107.3), (20, 95.9)])
def test_what_is_left_of_a_charge(cavity_ml, expected):
    assert left_ml(250, 20, cavity_ml, 60, PLAIN_SEA) == pytest.approx(expected, abs=0.1)


# source (computed): a cavity of 10 mL takes 4.980 mL from 0 to 10 m, 3.324 mL from 10 to 20 m
@pytest.mark.parametrize(("from_m", "to_m", "expected"), [(0, 10, 4.980), (10, 20, 3.324)])
def test_gas_that_a_cavity_takes(from_m, to_m, expected):
    assert equalise_ml(10, from_m, to_m, PLAIN_SEA) == pytest.approx(expected, abs=0.003)


# source (seen): a tube locks at more than 90 mmHg, printed as about 4 ft or 1.2 m
def test_ninety_millimetres_of_mercury_are_a_little_over_a_metre():
    assert depth_of_gauge_bar(90 * 133.322 / 1e5, PLAIN_SEA) == pytest.approx(1.19, abs=0.01)


def test_a_target_beyond_the_charge_names_the_larger_and_the_later_charge():
    answer = for_target(100, 200, 20, 20, 50, PLAIN_SEA)
    assert answer["reaches"] is False
    assert reach_m(answer["larger_ml"], 20, 20, 50, PLAIN_SEA) == pytest.approx(100, abs=1e-6)
    assert reach_m(200, answer["later_m"], 20, 50, PLAIN_SEA) == pytest.approx(100, abs=1e-6)
    assert "upper bound" in answer["says"]
    assert "never force" in answer["says"]


def test_a_target_within_the_charge_needs_nothing_and_still_shows_the_caution():
    answer = for_target(60, 250, 20, 20, 50, PLAIN_SEA)
    assert answer["says"].startswith("96 mL left at 60 m if no gas is lost. Best-case limit: 106 m.")
    assert (answer["reaches"], answer["larger_ml"], answer["later_m"]) == (True, None, None)
    assert answer["left_ml"] == pytest.approx(95.9, abs=0.1)
    assert "upper bound" in answer["says"]


def test_an_empty_charge_reaches_no_further_than_where_it_was_taken():
    assert reach_m(40, 20, 20, 50, PLAIN_SEA) == 20
    assert for_target(30, 40, 20, 20, 50, PLAIN_SEA)["later_m"] is None
    assert left_ml(20, 20, 100, 100, PLAIN_SEA) == 0


def test_a_charge_without_cavities_or_rest_is_bounded_by_the_formulas():
    assert reach_m(200, 20, 0, 0, PLAIN_SEA) == 1000


@given(charge=st.floats(60, 500), charge_m=st.floats(0, 40), cavity=st.floats(0, 150), least=st.floats(5, 50))
def test_at_the_deepest_depth_just_the_rest_is_left(charge, charge_m, cavity, least):
    deepest = reach_m(charge, charge_m, cavity, least, PLAIN_SEA)
    if deepest < 999:
        assert left_ml(charge, charge_m, cavity, deepest, PLAIN_SEA) == pytest.approx(least, rel=1e-4)
    assert deepest >= charge_m


@given(charge=st.floats(60, 500), more=st.floats(1, 100), charge_m=st.floats(0, 30))
def test_a_larger_or_a_later_charge_reaches_deeper(charge, more, charge_m):
    plain = reach_m(charge, charge_m, 20, 50, PLAIN_SEA)
    assert reach_m(charge + more, charge_m, 20, 50, PLAIN_SEA) > plain
    assert reach_m(charge, charge_m + 1, 20, 50, PLAIN_SEA) > plain


def test_a_target_above_the_charge_is_told_with_what_is_in_the_mouth_where_it_is_taken():
    answer = for_target(12, 200, 20, 20, 50, PLAIN_SEA)
    assert answer["reaches"]
    assert answer["left_ml"] == pytest.approx(200)
    assert "200 mL left at 20 m if no gas is lost" in answer["says"]
