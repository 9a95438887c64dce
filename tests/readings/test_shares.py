"""How little a share of a few dives proves."""

from __future__ import annotations

import pytest

from webapp.readings.shares import wilson


@pytest.mark.parametrize(
    ("count", "of", "low", "high"),
    [
        # source: Newcombe 1998, table I, from memory, and reproduced with another program
        (81, 263, 0.255289, 0.366210), (0, 20, 0, 0.161125), (1, 29, 0.006113, 0.171755),
        # source: reproduced with another program, tolerance 1e-6
        (7, 50, 0.069508, 0.261862), (3, 3, 0.438503, 1), (4, 5, 0.375535, 0.963776), (5, 5, 0.565518, 1),
        (7, 8, 0.529112, 0.977583), (8, 8, 0.675592, 1), (10, 10, 0.722467, 1),
    ],
)  # fmt: skip
def test_the_interval_of_a_share_is_the_published_one(count: int, of: int, low: float, high: float) -> None:
    assert wilson(count, of, 0.95) == pytest.approx((low, high), abs=1e-6)


def test_an_interval_stays_within_nothing_and_all_and_shrinks_with_more_dives() -> None:
    for of in range(1, 60):
        for count in range(of + 1):
            low, high = wilson(count, of, 0.95)
            assert 0 <= low <= count / of + 1e-12 <= high + 2e-12 <= 1 + 2e-12
    assert wilson(45, 50, 0.95)[0] > wilson(9, 10, 0.95)[0]
