"""Bad input: a clear refusal with the allowed range in its words, whatever the function."""

from __future__ import annotations

import math

import pytest

from webapp.water.buoyancy import Diver, free_fall_depth_m, net_kgf
from webapp.water.card import Line, Marks, Overdue, Safety
from webapp.water.errors import OutOfRange
from webapp.water.interval import Rule
from webapp.water.load import LoadedDive, alveolar_nitrogen_bar
from webapp.water.lungs import predicted_lungs, volume_at_l
from webapp.water.mouthfill import equalise_ml, reach_m
from webapp.water.pressure import Water, absolute_bar, depth_of_bar, gauge_bar, named_water, pressure_table, surface_bar
from webapp.water.times import Pace, at_descent_s

SEA = Water(35, 20, 30)
NOT_NUMBERS = [math.nan, math.inf, -math.inf, "30", None, True, 10**400, [30]]


@pytest.mark.parametrize("depth_m", [-0.1, 5000, *NOT_NUMBERS])
def test_a_depth_that_is_none_is_refused_everywhere(depth_m):
    for refuse in (
        lambda: gauge_bar(depth_m, SEA),
        lambda: volume_at_l(6, depth_m, SEA),
        lambda: at_descent_s(depth_m, Pace(1, 1, 1, 3)),
        lambda: equalise_ml(10, 0, depth_m, SEA),
        lambda: reach_m(200, depth_m, 20, 50, SEA),
        lambda: LoadedDive(depth_m, 60, 0, 60),
        lambda: Marks(mouthfill_m=depth_m if depth_m is not None else "none"),
    ):
        with pytest.raises(OutOfRange, match="0 to 1000 m"):
            refuse()


@pytest.mark.parametrize(
    ("refuse", "field", "allowed"),
    [
        (lambda: Water(50, 20, 30), "salinity", "0 to 42 g/kg"),
        (lambda: Water(35, 90, 30), "temperature_c", "-2 to 40 degrees C"),
        (lambda: Water(35, 20, 91), "latitude", "-90 to 90 degrees"),
        (lambda: Water(35, 20, 30, 1013), "surface_bar", "0.4 to 1.1 bar"),
        (lambda: surface_bar(9000), "altitude_m", "-450 to 6500 m"),
        (lambda: named_water("salt", math.nan, 30), "temperature_c", "-2 to 40 degrees C"),
        (lambda: pressure_table(130, 0, SEA), "step_m", "0.1 to 100 m"),
        (lambda: depth_of_bar(0.9, SEA), "bar", "at least the 1.013 bar of the surface"),
        (lambda: predicted_lungs("man", 1.8, 30), "height_cm", "140 to 210 cm"),
        (lambda: predicted_lungs("man", 180, 7), "age_years", "18 to 80 years"),
        (lambda: predicted_lungs("male", 180, 30), "sex", "man, woman"),
        (lambda: Diver(750, 1.06, 7, 0.1, 5, 1, 0.8, 1), "body_kg", "30 to 200 kg"),
        (lambda: Diver(75, 1065, 7, 0.1, 5, 1, 0.8, 1), "body_density", "0.95 to 1.15 kg/L"),
        (lambda: Diver(75, 1.06, 7, 0.1, 5, 1, 80, 1), "suit_gas_share", "0 to 1"),
        (lambda: net_kgf(Diver(75, 1.06, 7, 0.1, 5, 1, 0.8, 1), -2, 1025, 0.5), "lead_kg", "0 to 30 kg"),
        (lambda: free_fall_depth_m(Diver(75, 1.06, 7, 0.1, 5, 1, 0.8, 1), 2, 0.6, 0, SEA), "drag", "5 to 200 N"),
        (lambda: Pace(10, 1, 1, 3), "swim_m_s", "0.05 to 4 m/s"),
        (lambda: Rule("own", per_dive=-2), "per_dive", "0 to 50"),
        (lambda: alveolar_nitrogen_bar(-1), "bar", "0.4 to 110 bar"),
        (lambda: Line(0, 0, 3), "bottom_m", "0.5 to 11000 m"),
        (lambda: Line(40, 0, 3, "tape"), "set_by", "rope, gauge"),
        (lambda: Marks(alarms_m=(30, -1)), "alarms_m[1]", "0 to 1000 m"),
        (lambda: Safety(33, 30, None, 1, 0, 1), "meet_share", "0 to 1"),
        (lambda: Overdue(0.2, -5), "least_s", "0 to 86400 s"),
    ],
)
def test_a_refusal_names_the_field_and_the_allowed_range(refuse, field, allowed):
    with pytest.raises(OutOfRange) as refused:
        refuse()
    assert refused.value.field == field
    assert allowed in refused.value.says
    assert isinstance(refused.value, ValueError)
    assert str(refused.value) == f"{field}: {refused.value.says}"


def test_the_ends_of_a_range_are_accepted():
    assert absolute_bar(0, SEA) == SEA.surface_bar
    assert gauge_bar(1000, Water(42, -2, 90, 1.1)) < 105
