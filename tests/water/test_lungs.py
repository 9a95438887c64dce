"""Lungs: published equations, Boyle's law, and markers that never come without their spread."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.water.errors import OutOfRange
from webapp.water.lungs import (
    Lungs,
    Volume,
    measured_lungs,
    predicted_lungs,
    residual_markers,
    volume_at_l,
)
from webapp.water.pressure import Water, absolute_bar, depth_of_bar

STANDARD = Water(35, 0, 28)  # the water of the rows below: the standard ocean of gsw.p_from_z at latitude 28


# source (seen): hopkinsmedicine.org/pftlab/predeqns.html, equations of Goldman & Becklake; worked by hand
@pytest.mark.parametrize(
    ("sex", "height_cm", "age", "vital", "residual", "total"),
    [
        ("man", 180, 30, 5.258, 1.932, 7.189),
        ("man", 175, 40, 4.628, 1.966, 6.594),
        ("woman", 168, 30, 3.837, 1.747, 5.585),
        ("woman", 165, 40, 3.501, 1.741, 5.243),
    ],
)
def test_predicted_volumes_are_those_of_goldman_and_becklake(sex, height_cm, age, vital, residual, total):
    lungs = predicted_lungs(sex, height_cm, age)
    assert lungs.residual.litres == pytest.approx(residual, abs=0.002)
    assert lungs.total.litres == pytest.approx(total, abs=0.002)
    assert lungs.total.litres - lungs.residual.litres == pytest.approx(vital, abs=0.002)


# source (seen): the same page, FRC = 0.1295 x inches - 5.19 (men), 0.1220 x inches - 5.01 (women)
@pytest.mark.parametrize(("sex", "height_cm", "expected"), [("man", 177.8, 3.875), ("woman", 165.1, 2.92)])
def test_predicted_volume_after_a_passive_exhale(sex, height_cm, expected):
    lungs = predicted_lungs(sex, height_cm, 30)
    assert lungs.relaxed is not None
    assert lungs.relaxed.litres == pytest.approx(expected, abs=1e-6)


# source (seen): respi-gam.net/node/4557 lists Goldman 1959 RV with 19 % (men) and 24 % (women)
@pytest.mark.parametrize(("sex", "share"), [("man", 0.19), ("woman", 0.24)])
def test_a_prediction_carries_its_spread(sex, share):
    lungs = predicted_lungs(sex, 175, 35)
    assert lungs.residual.spread_l == pytest.approx(share * lungs.residual.litres)
    assert lungs.total.spread_l > 0.5


# source (computed with gsw 3.6.23): 7.0 L at depth, Boyle
@pytest.mark.parametrize(
    ("depth_m", "litres"), [(10, 3.511), (20, 2.343), (30, 1.758), (40, 1.407), (60, 1.005), (80, 0.782), (100, 0.640)]
)
def test_seven_litres_shrink_as_boyle_says(depth_m, litres):
    assert volume_at_l(7.0, depth_m, STANDARD) == pytest.approx(litres, abs=0.005)


# source (seen): deepmedcentre.com, the textbook's 6.0 L over 1.5 L at "30 m"; the other rows computed with gsw 3.6.23
@pytest.mark.parametrize(
    ("start_l", "residual_l", "depth_m"),
    [
        (6.0, 1.5, 30.2),
        (7.302, 1.788, 31.0),
        (5.298, 1.521, 25.0),
        (3.0, 1.5, 10.1),
        (11.5, 1.8, 54.2),
        (9.5, 1.6, 49.7),
        (6.0, 0.5, 110.7),
    ],
)
def test_depth_where_the_lungs_are_at_residual_volume(start_l, residual_l, depth_m):
    lungs = Lungs(Volume(start_l, 0.0), None, Volume(residual_l, 0.0), "example")
    (row,) = residual_markers(lungs, 0.0, STANDARD)
    assert row["depth_m"] == pytest.approx(depth_m, abs=0.15)


def test_one_spread_of_residual_volume_alone_moves_the_marker_from_23_to_43_m():
    # source (computed here from equations recalled, memory: Quanjer 1993): man of 180 cm, 30 years, RV 1.788 ± 0.41 L
    lungs = Lungs(Volume(7.302, 0.0), None, Volume(1.788, 0.41), "example")
    (row,) = residual_markers(lungs, 0.0, STANDARD)
    assert row["from_m"] == pytest.approx(23, abs=0.5)
    assert row["to_m"] == pytest.approx(43, abs=0.5)


def test_each_start_has_its_marker_with_spread_and_the_words_that_it_is_no_limit():
    rows = residual_markers(predicted_lungs("woman", 170, 30), 1.5, Water(35, 20, 30))
    depths = {row["start"]: row["depth_m"] for row in rows}
    assert list(depths) == ["full", "exhaled", "packed"]
    assert depths["exhaled"] < depths["full"] < depths["packed"]
    for row in rows:
        assert row["from_m"] < row["depth_m"] < row["to_m"]
        assert "not a limit" in row["says"]
        assert f"{row['from_m']:.0f} to {row['to_m']:.0f} m" in row["says"]


def test_without_packing_or_a_relaxed_volume_only_the_full_start_is_shown():
    rows = residual_markers(measured_lungs(6.5, 1.6, None, 0.05), 0.0, Water(35, 20, 30))
    assert [row["start"] for row in rows] == ["full"]


def test_dry_gas_shrinks_a_little_more():
    # source (computed): the dry variant is 3 to 6 % smaller
    wet, dry = volume_at_l(7, 60, STANDARD), volume_at_l(7, 60, STANDARD, dry=True)
    assert 0.94 < dry / wet < 0.97


def test_measured_volumes_must_be_in_order():
    with pytest.raises(OutOfRange, match="residual, then relaxed"):
        measured_lungs(6.0, 1.5, 6.5, 0.05)
    with pytest.raises(OutOfRange, match=r"0\.3 to 16 L"):
        measured_lungs(60, 1.5, None, 0.05)


@given(start=st.floats(0.3, 16), depth_m=st.floats(0, 1000))
def test_pressure_times_volume_stays_the_same(start, depth_m):
    water = Water(35, 18, 42, 0.98)
    product = volume_at_l(start, depth_m, water) * absolute_bar(depth_m, water)
    assert product == pytest.approx(start * water.surface_bar, rel=1e-12)


@given(start=st.floats(1.5, 16), depth_m=st.floats(0, 30))
def test_the_marker_is_where_the_breath_has_shrunk_to_the_residual_volume(start, depth_m):
    water = Water(20, 10, 55)
    shrunk = volume_at_l(start, depth_m, water)
    if shrunk >= 0.3:
        lungs = Lungs(Volume(start, 0.0), None, Volume(shrunk, 0.0), "example")
        (row,) = residual_markers(lungs, 0.0, water)
        assert row["depth_m"] == pytest.approx(depth_m, abs=1e-5)


# source (computed): 7 L full and 1.75 L residual, each with a spread of 5 %, taken as independent
@pytest.mark.parametrize(("end", "way"), [("to_m", 1), ("from_m", -1)])
def test_the_spread_of_the_marker_holds_that_of_both_volumes_on_its_deep_and_its_shallow_side(end, way):
    (row,) = residual_markers(measured_lungs(7.0, 1.75, None, 0.05), 0, Water(33.735, 15, 45))
    by_residual = abs(deep_as(7.0 / (1.75 * (1 - way * 0.05))) - row["depth_m"])
    by_total = abs(deep_as(7.0 * (1 + way * 0.05) / 1.75) - row["depth_m"])
    assert (row[end] - row["depth_m"]) * way == pytest.approx((by_residual**2 + by_total**2) ** 0.5, abs=1e-6)
    assert min(by_residual, by_total) > 1.5


def deep_as(ratio):
    """The depth where the pressure is so many times that at the surface."""
    return depth_of_bar(ratio * Water(33.735, 15, 45).surface_bar, Water(33.735, 15, 45))
