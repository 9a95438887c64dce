"""Angles between the marks of a film: against numpy, against worked values, and with the camera rolled."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from playwright.sync_api import Browser, Page
from support.static_files import phone_modules

STATIC = Path(__file__).parents[2] / "static"
Point = dict[str, float]


@pytest.fixture(scope="module")
def angles(chromium: Browser) -> Iterator[Page]:
    with phone_modules(chromium, STATIC, "video/angles.js") as page:
        yield page


def each(page: Page, name: str, many: list[list[Any]]) -> list[Any]:
    call = "([name, text]) => JSON.stringify(JSON.parse(text).map((one) => window.reader[name](...one)))"
    found: list[Any] = json.loads(page.evaluate(call, [name, json.dumps(many)]))
    return found


def at(x: float, y: float) -> Point:
    return {"x": x, "y": y}


def points(many: int, each_time: int) -> list[list[Point]]:
    spots = np.random.default_rng(3).uniform(0, 1280, (many, each_time, 2))
    return [[at(float(x), float(y)) for x, y in one] for one in spots]


def by_numpy(a: Point, b: Point, c: Point) -> float:
    u, v = (np.array([p["x"] - b["x"], p["y"] - b["y"]]) for p in (a, c))
    return float(np.degrees(np.arccos(np.clip(u @ v / np.linalg.norm(u) / np.linalg.norm(v), -1, 1))))


def test_the_angle_of_a_joint_is_the_one_that_numpy_gives(angles: Page) -> None:
    many = points(500, 3)
    expected = [by_numpy(*one) for one in many]
    assert each(angles, "includedAngle", many) == pytest.approx(expected, abs=1e-5)
    assert each(angles, "flexion", many) == pytest.approx([180 - angle for angle in expected], abs=1e-5)


def test_a_right_angle_a_straight_limb_and_a_bent_knee_read_as_worked_out_by_hand(angles: Page) -> None:
    """The last: hip (0, 0), knee (0, 0.45), ankle (0.10, 0.88), worked with the arccos of the two directions."""
    hip, knee, ankle = at(0, 0), at(0, 0.45), at(0.10, 0.88)
    cases = [[at(1, 0), at(0, 0), at(0, 1)], [at(0, 0), at(0, 1), at(0, 3)], [hip, knee, ankle]]
    assert each(angles, "includedAngle", cases) == pytest.approx([90, 180, 166.908], abs=0.001)


def turned(point: Point, degrees: float) -> Point:
    spot = complex(point["x"], point["y"]) * np.exp(1j * math.radians(degrees))
    return at(float(spot.real), float(spot.imag))


def test_a_rolled_camera_changes_no_tilt_against_the_line(angles: Page) -> None:
    for p, q, top, low in points(20, 4):
        many = [
            [turned(p, roll), turned(q, roll), {"top": turned(top, roll), "low": turned(low, roll)}]
            for roll in (0, -35, 8, 90, 179)
        ]
        first, *others = each(angles, "tilt", many)
        assert [math.remainder(other - first, 360) for other in others] == pytest.approx([0] * 4, abs=1e-6)


def test_a_limb_that_leans_clockwise_from_the_line_has_a_tilt_above_nothing(angles: Page) -> None:
    line = {"top": at(300, 0), "low": at(300, 500)}
    lean = at(100 - 100 * math.sin(math.radians(30)), 100 + 100 * math.cos(math.radians(30)))
    along_line, leaning, back = each(
        angles, "tilt", [[at(100, 100), at(100, 200), line], [at(100, 100), lean, line], [lean, at(100, 100), line]]
    )
    assert (along_line, leaning, back) == pytest.approx((0, 30, -150), abs=1e-9)


def test_across_and_along_the_line_are_told_apart(angles: Page) -> None:
    found = each(angles, "along", [[at(130, 260), at(100, 200), at(0, 5)], [at(130, 260), at(100, 200), at(3, 0)]])
    assert found[0] == pytest.approx({"along": 60, "across": -30})
    assert found[1] == pytest.approx({"along": 30, "across": 60})
