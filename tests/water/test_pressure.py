"""Pressure at depth against published values, against TEOS-10, and against itself."""

from __future__ import annotations

import gsw
import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.water.constants import T68_PER_T90
from webapp.water.errors import OutOfRange
from webapp.water.pressure import (
    Water,
    absolute_bar,
    density_kg_m3,
    depth_of_bar,
    depth_of_gauge_bar,
    gauge_bar,
    gauge_shows_m,
    gravity_m_s2,
    named_water,
    pressure_table,
    rope_for_gauge_m,
    surface_bar,
)

FOOT_M = 0.3048
waters = st.builds(
    Water,
    salinity=st.floats(0, 42),
    temperature_c=st.floats(-2, 40),
    latitude=st.floats(-90, 90),
    surface_bar=st.floats(0.5, 1.1),
)
depths = st.floats(0, 1000)


# source (seen): UNESCO Tech. Pap. Mar. Sci. 44 (1983) p. 19, quoted with page number in several public test suites
@pytest.mark.parametrize(
    ("salinity", "t68", "dbar", "expected"),
    [
        (0, 5, 0, 999.96675),
        (0, 5, 10000, 1044.12802),
        (0, 25, 0, 997.04796),
        (0, 25, 10000, 1037.90204),
        (35, 5, 0, 1027.67547),
        (35, 5, 10000, 1069.48914),
        (35, 25, 0, 1023.34306),
        (35, 25, 10000, 1062.53817),
    ],
)
def test_density_has_the_check_values_of_unesco_44(salinity, t68, dbar, expected):
    water = Water(salinity, t68 / T68_PER_T90, 30)
    assert density_kg_m3(water, dbar / 10) == pytest.approx(expected, abs=1e-5)


# source (computed with gsw 3.6.23): anchors of TEOS-10; fresh water at 4 and 20 °C, standard seawater at 15 °C
@pytest.mark.parametrize(
    ("salinity", "temperature_c", "expected"), [(35, 15, 1025.97603), (0, 4, 999.97487), (0, 20, 998.20715)]
)
def test_density_agrees_with_teos_10_at_the_surface(salinity, temperature_c, expected):
    assert density_kg_m3(Water(salinity, temperature_c, 30)) == pytest.approx(expected, abs=0.01)


# source (computed with gsw 3.6.23): gravity of TEOS-10 at the surface
@pytest.mark.parametrize(("latitude", "expected"), [(0, 9.780327), (30, 9.793249), (60, 9.819179), (90, 9.832186)])
def test_gravity_agrees_with_teos_10(latitude, expected):
    assert gravity_m_s2(latitude) == pytest.approx(expected, abs=2e-5)
    assert gravity_m_s2(-latitude) == gravity_m_s2(latitude)


# source (seen): Fofonoff & Millard 1983, depth from pressure, check value and the rows of the marelac manual
@pytest.mark.parametrize(
    ("dbar", "latitude", "expected", "tolerance"),
    [(500, 30, 496.00, 0.01), (500, 60, 494.69, 0.01)],
)
def test_depth_has_the_check_values_of_unesco_1983(dbar, latitude, expected, tolerance):
    assert depth_of_gauge_bar(dbar / 10, Water(35, 0, latitude)) == pytest.approx(expected, abs=tolerance)


# source (seen): Fofonoff & Millard 1983: 10000 dbar at 30 degrees is 9712.653 m; 5000 dbar at 60 degrees 4895.60 m
@pytest.mark.parametrize(("dbar", "latitude", "expected"), [(10000, 30, 9712.653), (5000, 60, 4895.60)])
def test_density_and_gravity_integrate_to_the_depth_of_unesco_1983(dbar, latitude, expected):
    water, steps = Water(35, 0, latitude), 1000
    step = dbar / 10 / steps
    middles = [(row + 0.5) * step for row in range(steps)]
    depth = sum(step * 1e5 / (density_kg_m3(water, bar) * gravity_m_s2(latitude, bar)) for bar in middles)
    assert depth == pytest.approx(expected, abs=0.1)  # their polynomial is itself a fit to 0.1 m


# source (seen): CRAN gsw manual, p_from_z at latitude 4 (values from teos-10.org)
@pytest.mark.parametrize(
    ("depth_m", "dbar"),
    [
        (10, 10.055726724518),
        (50, 50.283543374874),
        (125, 125.731858435610),
        (250, 251.540299593468),
        (600, 604.210012340727),
        (1000, 1007.990337692001),
    ],
)
def test_pressure_in_the_standard_ocean_has_the_rows_of_teos_10(depth_m, dbar):
    assert gauge_bar(depth_m, Water(35, 0, 4)) * 10 == pytest.approx(dbar, rel=3e-6)


# source (seen): CRAN gsw manual, z_from_p at latitude 4
@pytest.mark.parametrize(
    ("dbar", "depth_m"),
    [
        (10, 9.9445834469453),
        (50, 49.7180897012550),
        (125, 124.2726219409978),
        (250, 248.4700576548589),
        (600, 595.8253480356214),
        (1000, 992.0919060719987),
    ],
)
def test_depth_in_the_standard_ocean_has_the_rows_of_teos_10(dbar, depth_m):
    assert depth_of_gauge_bar(dbar / 10, Water(35, 0, 4)) == pytest.approx(depth_m, rel=3e-6)


# source (computed with gsw 3.6.23): TEOS-10 density integrated, dbar
@pytest.mark.parametrize(
    ("salinity", "temperature_c", "latitude", "at_10", "at_100"),
    [
        (35, 15, 28, 10.046, 100.484),
        (35, 25, 0, 10.009, 100.109),
        (40, 26, 45, 10.069, 100.713),
        (0, 20, 45, 9.789, 97.909),
        (0, 10, 28, 9.789, 97.912),
    ],
)
def test_pressure_in_real_water(salinity, temperature_c, latitude, at_10, at_100):
    water = Water(salinity, temperature_c, latitude)
    assert gauge_bar(10, water) * 10 == pytest.approx(at_10, abs=0.002)
    assert gauge_bar(100, water) * 10 == pytest.approx(at_100, abs=0.002)


def test_pressure_agrees_with_gsw_within_a_twentieth_of_a_percent():
    # source: the gsw package (TEOS-10), its density times its gravity integrated by the midpoint rule in 1 m steps
    worst = 0.0
    for salinity in (0, 5, 20, 35, 40):
        for temperature_c in (0, 10, 20, 30):
            for latitude in (0, 30, 60):
                water = Water(salinity, temperature_c, latitude)
                absolute, dbar = salinity * 35.16504 / 35, 0.0
                for depth_m in range(1, 131):
                    half = dbar + _gsw_slope(absolute, temperature_c, dbar, latitude) / 2
                    dbar += _gsw_slope(absolute, temperature_c, half, latitude)
                    worst = max(worst, abs(gauge_bar(depth_m, water) * 10 / dbar - 1))
    assert worst < 0.0005


def _gsw_slope(absolute_salinity, temperature_c, dbar, latitude):
    return gsw.rho_t_exact(absolute_salinity, temperature_c, dbar) * gsw.grav(latitude, dbar) / 1e4


# source (seen): wxonline.info/useful/stndatmo.html, pressure altitudes of the standard atmosphere in feet
@pytest.mark.parametrize(("feet", "millibar"), [(4780, 850), (9882, 700), (18287, 500)])
def test_air_pressure_falls_with_altitude_as_in_the_standard_atmosphere(feet, millibar):
    assert surface_bar(feet * FOOT_M) == pytest.approx(millibar / 1000, abs=2e-4)


# source (computed with gsw 3.6.23, EN 13319 as told by a test laboratory, seen): tape-measured 100 m on a gauge
@pytest.mark.parametrize(
    ("water", "shows"), [(Water(40, 26, 28), 100.57), (Water(35, 15, 45), 100.63), (Water(0, 20, 45), 97.91)]
)
def test_a_gauge_of_fixed_density_shows_other_metres_than_the_rope(water, shows):
    assert gauge_shows_m(100, water) == pytest.approx(shows, abs=0.02)


def test_named_waters_are_salt_and_fresh_and_altitude_lowers_the_surface_pressure():
    sea, lake = named_water("salt", 20, 40), named_water("fresh", 20, 40, 1500)
    assert (sea.salinity, lake.salinity) == (35, 0)
    assert lake.surface_bar < sea.surface_bar == surface_bar(0)
    with pytest.raises(OutOfRange, match="salt, fresh"):
        named_water("brine", 20, 40)


def test_a_table_has_the_pressure_of_each_step():
    water = Water(35, 22, 30)
    table = pressure_table(130, 0.5, water)
    assert len(table) == 261
    assert table[0] == water.surface_bar
    assert table[-1] == absolute_bar(130, water)
    assert len(pressure_table(0.3, 0.1, water)) == 4


@given(water=waters, shallow=depths, more=st.floats(0.001, 1000))
def test_pressure_grows_with_depth(water, shallow, more):
    deep = min(1000, shallow + more)
    assert gauge_bar(deep, water) > gauge_bar(shallow, water) or deep - shallow < 1e-9


@given(water=waters, depth_m=depths)
def test_depth_of_the_pressure_at_a_depth_is_that_depth(water, depth_m):
    assert depth_of_bar(absolute_bar(depth_m, water), water) == pytest.approx(depth_m, abs=1e-5)
    assert rope_for_gauge_m(min(1000, gauge_shows_m(depth_m, water)), water) <= depth_m + 1e-5


@given(water=waters, shown=st.floats(0, 1000))
def test_a_gauge_shows_what_the_rope_was_set_for(water, shown):
    rope = rope_for_gauge_m(shown, water)
    if rope <= 1000:
        assert gauge_shows_m(rope, water) == pytest.approx(shown, abs=1e-5)


@given(water=waters, depth_m=st.floats(1, 1000))
def test_salt_makes_water_heavier(water, depth_m):
    saltier = Water(min(42, water.salinity + 1), water.temperature_c, water.latitude, water.surface_bar)
    assert gauge_bar(depth_m, saltier) >= gauge_bar(depth_m, water)
