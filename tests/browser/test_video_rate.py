"""The rate of kicks and pulls: against scipy's periodogram, on kicks of known rate, and silent where it must be."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from playwright.sync_api import Browser, Page
from support.static_files import phone_modules

TESTS = Path(__file__).parents[1]
STATIC = TESTS.parent / "static"
SCIPY = json.loads((TESTS / "clips" / "lomb_scargle.json").read_text(encoding="utf-8"))
RATES = (0.5, 0.64, 0.8, 0.96, 1.4)  # kicks with a monofin, with long and short fins, and faster
Signal = list[list[float]]


@pytest.fixture(scope="module")
def rate(chromium: Browser) -> Iterator[Page]:
    modules = ("video/rate.js", "video/turns.js", "video/smooth.js", "video/sine.js")
    with phone_modules(chromium, STATIC, *modules) as page:
        yield page


def each(page: Page, name: str, many: list[Any]) -> list[Any]:
    call = "([name, text]) => JSON.stringify(JSON.parse(text).map((one) => window.reader[name](...one) ?? null))"
    found: list[Any] = json.loads(page.evaluate(call, [name, json.dumps(many)]))
    return found


def kicks(
    hz: float, long_s: float, seed: int, *, fps: int = 30, noise: float = 0.05, lost: float = 0.05, second: float = 0.2
) -> Signal:
    """The sideways way of a fin of 60 pixels to each side: a second harmonic, drift, lost frames, noise."""
    random = np.random.default_rng(seed)
    times = np.arange(round(fps * long_s) + 1) / fps
    times = times[random.random(len(times)) >= lost]
    start = random.uniform(0, 2 * np.pi)
    way = 60 * np.sin(2 * np.pi * hz * times + start) + 60 * second * np.sin(4 * np.pi * hz * times + 1)
    values = way + 6 * times + random.normal(0, 60 * noise, len(times))
    return [times.tolist(), values.tolist()]


def test_the_power_is_what_scipy_gives(rate: Page) -> None:
    for case in SCIPY["cases"]:
        (found,) = each(rate, "power", [[case["times_s"], case["values"], case["hz"]]])
        assert found == pytest.approx(case["power"], abs=1e-12)


@pytest.mark.parametrize("fps", [30, 60])
def test_the_rate_is_within_2_percent_from_4_seconds_of_film_on(rate: Page, fps: int) -> None:
    cases = [(hz, long_s, seed) for hz in RATES for long_s in (4, 6, 9) if hz * long_s >= 3.2 for seed in range(12)]
    found = each(rate, "rhythm", [kicks(hz, long_s, seed, fps=fps) for hz, long_s, seed in cases])
    off = [abs(one["hz"] - hz) / hz for one, (hz, _, _) in zip(found, cases, strict=True)]
    assert np.quantile(off, 0.95) < 0.02
    assert max(off) < 0.04


def test_the_uncertainty_of_a_rate_holds_the_truth_about_as_often_as_it_says(rate: Page) -> None:
    """A standard error: the truth is within two of them in about 95 of 100 clips, and they are not idly wide."""
    truths = [hz for hz in RATES for _ in range(20)]
    clips = [
        kicks(hz, 4.5 / hz, seed, noise=0.2, second=0.0, lost=0.1, fps=30) for seed, hz in enumerate(truths, start=70)
    ]
    found = each(rate, "rhythm", clips)
    off = [abs(one["hz"] - hz) / one["error_hz"] for one, hz in zip(found, truths, strict=True)]
    assert np.mean(np.array(off) < 2) >= 0.9
    assert np.mean(np.array(off) < 0.1) < 0.3


def test_nothing_is_said_under_three_cycles(rate: Page) -> None:
    short = [kicks(hz, cycles / hz, 5, noise=0.02) for hz in RATES for cycles in (0.6, 1.5, 2.3, 2.8)]
    long = [kicks(hz, 3.3 / hz, 5, noise=0.02) for hz in RATES]
    assert each(rate, "rhythm", short) == [None] * len(short)
    assert None not in each(rate, "rhythm", long)


def test_a_glide_without_kicks_has_no_rate(rate: Page) -> None:
    random = np.random.default_rng(9)
    times = (np.arange(240) / 30).tolist()
    still = [[times, random.normal(0, 1, 240).tolist()] for _ in range(40)]
    drifting = [[times, np.cumsum(random.normal(0.5, 0.2, 240)).tolist()] for _ in range(20)]
    same = [[times, [5.0] * 240], [[], []], [[0.1], [3.0]]]
    assert each(rate, "rhythm", [*still, *drifting, *same]) == [None] * 63


def test_the_swing_of_a_kick_is_measured_from_end_to_end_with_its_uncertainty(rate: Page) -> None:
    clips = [kicks(hz, 8, 3, noise=0.02, second=0.0) for hz in RATES]
    smooth = each(rate, "smoothed", [[*clip, 6] for clip in clips])
    swings = [[clip[0], values, hz] for clip, values, hz in zip(clips, smooth, RATES, strict=True)]
    found = each(rate, "amplitude", swings)
    assert [one["value"] for one in found] == pytest.approx([120] * len(RATES), rel=0.02)
    assert all(0 < one["error"] < 3 for one in found)
    assert each(rate, "amplitude", [[[0.0, 0.1, 0.2, 0.3], [1, 2, 1, 2], 0.8]]) == [None]


def test_smoothing_lets_half_of_the_power_pass_at_the_rate_it_names(rate: Page) -> None:
    times = np.arange(0, 6, 1 / 60)
    middle = slice(120, 240)  # away from the ends
    for hz, share in ((1.0, 0.9995), (6.0, np.sqrt(0.5)), (15.0, 0.01)):
        values = np.sin(2 * np.pi * hz * times)
        (found,) = each(rate, "smoothed", [[times.tolist(), values.tolist(), 6]])
        left = np.std(np.array(found)[middle]) / np.std(values[middle])
        assert left == pytest.approx(share, abs=0.01)
        assert each(rate, "passes", [[hz, 6]]) == pytest.approx([left], abs=0.005)


def test_smoothing_moves_nothing_in_time_and_keeps_gaps(rate: Page) -> None:
    times = np.array([i / 30 for i in range(150) if not 60 <= i < 75])
    values = np.sin(2 * np.pi * 0.9 * times) + 0.2 * times
    (found,) = each(rate, "smoothed", [[times.tolist(), values.tolist(), 5]])
    assert len(found) == len(times)
    assert found == pytest.approx(values.tolist(), abs=0.02)
