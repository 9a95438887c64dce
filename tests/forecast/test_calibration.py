"""How often the forecast keeps its word, on few invented divers.

`tests/bench/outlook.py` has 2,000, closer bounds, and leaves less out of each forecast.
"""

from __future__ import annotations

from bench.outlook import bands, base_rate, brier, middle_of, off, pits, seasons

SEASONS, LEFT_OUT, LEAST_OF_BAND, MOST_OFF = 40, 5e-3, 10, 0.35


def test_what_is_said_after_ten_dives_is_closer_than_the_base_rate_and_than_all_clean() -> None:
    ended = list(seasons(SEASONS, LEFT_OUT))
    said = [one for season in ended for one in season.goals]
    assert len(said) > 2 * SEASONS
    forecast = brier(said, lambda one: one.chance)
    assert forecast < brier(said, base_rate(said))
    assert forecast < brier(said, lambda one: one.if_clean) / 2
    halves = [off(band) for band in bands(said, 2)]
    assert max(map(abs, halves)) < 0.15
    assert all(abs(off(band)) < MOST_OFF for band in bands(said) if len(band) >= LEAST_OF_BAND)
    assert middle_of(pits(ended)) >= 0.65
    assert sum(one.is_inside for one in ended) >= 0.7 * len(ended)
