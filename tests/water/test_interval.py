"""What the phone needs to calculate a surface interval: the pressure at each metre."""

from __future__ import annotations

from webapp.water.interval import bars_by_metre
from webapp.water.pressure import Water, absolute_bar


def test_the_table_for_the_phone_has_the_pressure_of_each_metre():
    water = Water(35, 22, 30)
    assert bars_by_metre(40, water)[40] == absolute_bar(40, water)
    assert len(bars_by_metre(40, water)) == 41
