"""Buoyancy and lead: the reference diver, the neutral depth, the start of free fall, and honest refusals."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.water.buoyancy import (
    Diver,
    buoyancy_kgf,
    free_fall_depth_m,
    lead_change_kg,
    lead_for_neutral_kg,
    net_kgf,
    neutral_depth_m,
)
from webapp.water.pressure import Water, absolute_bar, density_kg_m3, gauge_bar

REFERENCE = Diver(75, 1.065, 7.0, 0.1, 5.0, 1.0, 0.80, 1.0)
BARE = replace(REFERENCE, suit_l=0.0, suit_kg=0.0)
THIN = replace(REFERENCE, suit_l=2.5, suit_kg=0.5)
PLAIN_SEA = Water(33.735, 15, 45)  # weighs 1025 kg/m3, under a gravity of 9.806 m/s2
LAKE = Water(0, 4, 45)


def simple_ratio(depth_m: float, density: float = 1025) -> float:
    return 1.01325 / (1.01325 + density * 9.80665 * depth_m / 1e5)


def test_the_plain_sea_of_these_tests_is_the_constant_density_model():
    assert density_kg_m3(PLAIN_SEA) == pytest.approx(1025, abs=0.01)
    # source (computed): 1025 kg/m3 and 9.80665 m/s2 give 5.0340 and 11.0651 bar absolute at 40 and 100 m
    assert absolute_bar(40, PLAIN_SEA) == pytest.approx(5.0340, rel=1e-3)
    assert absolute_bar(100, PLAIN_SEA) == pytest.approx(11.0651, rel=1e-3)


# source (computed from Archimedes and Boyle for a reference diver; body density Siri 1961, memory)
@pytest.mark.parametrize(
    ("diver", "lead_kg", "density", "rows"),
    [
        (BARE, 0.0, 1025, {0: 4.4606, 10: 0.8364, 20: -0.3781, 30: -0.9866, 60: -1.7701, 100: -2.1505}),
        (REFERENCE, 2.0, 1025, {0: 6.7664, 10: 1.1004, 20: -0.7984, 30: -1.7497, 60: -2.9746, 100: -3.5693}),
    ],
)
def test_net_force_of_the_reference_diver(diver, lead_kg, density, rows):
    for depth_m, expected in rows.items():
        assert net_kgf(diver, lead_kg, density, simple_ratio(depth_m, density)) == pytest.approx(expected, abs=0.002)


# source (computed): the same diver in a lake of 1000 kg/m3
@pytest.mark.parametrize(("depth_m", "expected"), [(0, 4.6989), (10, -0.7604), (30, -3.5575)])
def test_net_force_in_a_lake(depth_m, expected):
    assert net_kgf(REFERENCE, 2.0, 1000, simple_ratio(depth_m, 1000)) == pytest.approx(expected, abs=0.03)


# source (computed): neutral depths of the reference diver with 2 kg in sea and lake, and bare
@pytest.mark.parametrize(
    ("diver", "lead_kg", "water", "expected", "tolerance"),
    [(REFERENCE, 2.0, PLAIN_SEA, 14.79, 0.05), (REFERENCE, 2.0, LAKE, 7.58, 0.05), (BARE, 0.0, PLAIN_SEA, 16, 0.5)],
)
def test_neutral_depth_of_the_reference_diver(diver, lead_kg, water, expected, tolerance):
    assert neutral_depth_m(diver, lead_kg, water).value == pytest.approx(expected, abs=tolerance)


# source (computed): lead for a chosen neutral depth
@pytest.mark.parametrize(
    ("diver", "depth_m", "lead_kg"),
    [
        (REFERENCE, 8, 3.904),
        (REFERENCE, 10, 3.210),
        (REFERENCE, 15, 1.958),
        (REFERENCE, 20, 1.122),
        (REFERENCE, 25, 0.525),
        (REFERENCE, 30, 0.076),
        (THIN, 10, 2.065),
        (THIN, 15, 1.038),
        (THIN, 20, 0.353),
    ],
)
def test_lead_for_a_wanted_neutral_depth(diver, depth_m, lead_kg):
    assert lead_for_neutral_kg(diver, depth_m, PLAIN_SEA).value == pytest.approx(lead_kg, abs=0.01)


def test_lead_that_would_be_negative_is_not_possible():
    # source (computed): the thin suit needs -0.14 kg at 25 m
    answer = lead_for_neutral_kg(THIN, 25, PLAIN_SEA)
    assert answer.value is None
    assert "not possible" in answer.says


# source (computed): v = sqrt(W g / k) with k = 25; the drag from passive-drag swimming literature, memory
@pytest.mark.parametrize(("net", "speed"), [(-0.5, 0.443), (-1, 0.626), (-2, 0.886), (-3, 1.085), (-4, 1.253)])
def test_a_diver_falls_at_a_speed_from_where_the_weight_equals_its_drag(net, speed):
    depth = free_fall_depth_m(REFERENCE, 2.0, speed, 25, PLAIN_SEA).value
    assert buoyancy_kgf(REFERENCE, 2.0, depth, PLAIN_SEA) == pytest.approx(net, abs=0.005)


# source (seen): Wikipedia's "Wetsuit": at about 15 m the thickness of foam is halved; a gas share of 0.836 by Boyle
def test_a_suit_is_halved_at_15_m():
    soft = replace(REFERENCE, suit_gas_share=0.836)
    ratio = PLAIN_SEA.surface_bar / absolute_bar(15, PLAIN_SEA)
    lost = net_kgf(soft, 0, 1025, ratio) - net_kgf(replace(soft, suit_l=0.0), 0, 1025, ratio)
    assert lost / (1.025 * 5.0) == pytest.approx(0.5, abs=0.002)


def test_a_lake_needs_about_two_kilos_less_than_the_sea():
    # source (computed): fresh and salt water differ by about 2 kg
    change = lead_change_kg(REFERENCE, 10, PLAIN_SEA, LAKE)
    assert change.value == pytest.approx(-2.0, abs=0.4)
    assert "less" in change.says
    assert lead_change_kg(THIN, 25, PLAIN_SEA, LAKE).value is None


def test_free_fall_begins_below_the_neutral_depth_and_deeper_for_a_faster_fall():
    neutral = neutral_depth_m(REFERENCE, 2.0, PLAIN_SEA).value
    slow = free_fall_depth_m(REFERENCE, 2.0, 0.6, 25, PLAIN_SEA).value
    fast = free_fall_depth_m(REFERENCE, 2.0, 0.9, 25, PLAIN_SEA).value
    assert neutral < slow < fast


def test_a_diver_who_is_never_neutral_gets_words_instead_of_a_depth():
    assert "take lead off" in neutral_depth_m(REFERENCE, 25, PLAIN_SEA).says
    light = replace(REFERENCE, body_density=0.98)
    assert "too light" in neutral_depth_m(light, 0, PLAIN_SEA).says
    assert neutral_depth_m(light, 0, PLAIN_SEA).value is None


@given(lead=st.floats(0, 6), more=st.floats(0.01, 3))
def test_less_lead_makes_the_neutral_depth_deeper(lead, more):
    heavier = neutral_depth_m(REFERENCE, lead + more, PLAIN_SEA).value
    lighter = neutral_depth_m(REFERENCE, lead, PLAIN_SEA).value
    if heavier is not None and lighter is not None:
        assert lighter > heavier


@given(lead=st.floats(0, 6))
def test_the_lead_for_a_neutral_depth_gives_that_lead_back(lead):
    depth = neutral_depth_m(REFERENCE, lead, PLAIN_SEA).value
    if depth is not None:
        assert lead_for_neutral_kg(REFERENCE, depth, PLAIN_SEA).value == pytest.approx(lead, abs=1e-5)


@given(depth=st.floats(0, 900), more=st.floats(0.1, 100), stiffness=st.floats(0.3, 1))
def test_a_diver_grows_heavier_with_depth(depth, more, stiffness):
    diver = replace(REFERENCE, suit_stiffness=stiffness)
    assert buoyancy_kgf(diver, 1, depth + more, PLAIN_SEA) < buoyancy_kgf(diver, 1, depth, PLAIN_SEA)
    assert gauge_bar(depth, PLAIN_SEA) >= 0


# source (computed): 5 L of suit, 80 % of it gas; at four times the surface's pressure the gas of a soft suit fills a
# quarter, that of a suit with the exponent 0.5 a half. A stiff foam compresses less than Boyle: no published exponent.
@pytest.mark.parametrize(("stiffness", "suit_l"), [(1.0, 1 + 4 * 0.25), (0.5, 1 + 4 * 0.5)])
def test_a_stiff_suit_keeps_more_of_its_volume_at_depth(stiffness, suit_l):
    suited = net_kgf(replace(REFERENCE, suit_stiffness=stiffness), 0, 1025, 0.25)
    assert suited - net_kgf(BARE, 0, 1025, 0.25) == pytest.approx(1.025 * suit_l - 1.0, abs=1e-9)
