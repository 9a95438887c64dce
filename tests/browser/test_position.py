"""How the phone reads and writes positions: against values calculated by hand, with the edges of the globe."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page
from support.static_files import serving_static

STATIC = Path(__file__).parents[2] / "static"
# NaN and null travel as words
ASK = """([name, ...args]) => import("/js/plan/position.js").then((all) => {
  const found = all[name](...args);
  return Number.isNaN(found) ? "not a position" : found;
})"""
WRONG = "not a position"


@pytest.fixture(scope="module")
def page(chromium: Browser) -> Iterator[Page]:
    with serving_static(STATIC) as address, chromium.new_context() as context:
        page = context.new_page()
        page.goto(f"{address}/css/base.css")
        yield page


def ask(page: Page, *args: Any) -> Any:
    return page.evaluate(ASK, args)


@pytest.mark.parametrize(
    ("text", "axis", "degrees"),
    [
        ("43.20575", "latitude", 43.20575),
        (" 43,20575 ", "latitude", 43.20575),
        ("-43.2", "latitude", -43.2),
        ("43.2 S", "latitude", -43.2),
        ("s43.2", "latitude", -43.2),
        ("43 12.345 N", "latitude", 43.20575),  # 12.345 / 60 = 0.20575
        ("43°12.345′N", "latitude", 43.20575),
        ("N 43° 12.345'", "latitude", 43.20575),
        ("-43 30", "latitude", -43.5),
        ("0", "longitude", 0),
        ("0 W", "longitude", 0),
        ("180", "longitude", 180),
        ("180 W", "longitude", -180),
        ("179 59.999 e", "longitude", 179.99998333333333),  # 59.999 / 60 = 0.9999833...
        ("90 S", "latitude", -90),
        ("", "latitude", None),
        ("  ", "longitude", None),
    ],
)
def test_a_position_is_read_as_people_type_it(page: Page, text: str, axis: str, degrees: float | None) -> None:
    assert ask(page, "parse", text, axis) == (degrees if degrees is None else pytest.approx(degrees, abs=1e-12))


@pytest.mark.parametrize(
    ("text", "axis"),
    [
        ("90.00001", "latitude"),
        ("90 0.001 N", "latitude"),
        ("180.1", "longitude"),
        ("43 60 N", "latitude"),
        ("43.5 30 N", "latitude"),
        ("43 12.345 E", "latitude"),
        ("16 N", "longitude"),
        ("-43 S", "latitude"),
        ("N 43 S", "latitude"),
        ("43 12 20 N", "latitude"),
        ("about 43", "latitude"),
        ("43..2", "latitude"),
        ("1e1", "latitude"),
        ("4 3 . 2", "latitude"),
    ],
)
def test_what_may_be_another_place_is_not_taken(page: Page, text: str, axis: str) -> None:
    assert ask(page, "parse", text, axis) == WRONG


@pytest.mark.parametrize(
    ("degrees", "axis", "minutes", "decimal"),
    [
        (43.20575, "latitude", "43° 12.345′ N", "43.20575° N"),
        (-43.20575, "latitude", "43° 12.345′ S", "43.20575° S"),
        (16.05, "longitude", "16° 03.000′ E", "16.05000° E"),
        (-0.5, "longitude", "0° 30.000′ W", "0.50000° W"),
        (58.99999, "latitude", "58° 59.999′ N", "58.99999° N"),  # 0.99999 x 60 = 59.9994
        (58.999993, "latitude", "59° 00.000′ N", "58.99999° N"),  # 0.999993 x 60 = 59.99958
        (179.9999999, "longitude", "180° 00.000′ E", "180.00000° E"),
        (-180, "longitude", "180° 00.000′ W", "180.00000° W"),
        (-0.000001, "latitude", "0° 00.000′ N", "0.00000° N"),
        (90, "latitude", "90° 00.000′ N", "90.00000° N"),
    ],
)
def test_a_position_is_written_in_both_ways(page: Page, degrees: float, axis: str, minutes: str, decimal: str) -> None:
    assert (ask(page, "degreesMinutes", degrees, axis), ask(page, "decimal", degrees, axis)) == (minutes, decimal)


def test_every_position_that_was_written_is_read_again_as_the_same_place(page: Page) -> None:
    """To a thousandth of a minute, half of which is 0.0000083 degrees, and never with sixty minutes."""
    found = page.evaluate("""() => import("/js/plan/position.js").then(({ parse, degreesMinutes }) => {
      const bad = [];
      for (let step = -180_000; step <= 180_000; step += 7) {
        const degrees = step / 1000 + 0.000499;
        if (Math.abs(degrees) > 180) continue;
        const back = parse(degreesMinutes(degrees, "longitude"), "longitude");
        if (!(Math.abs(back - degrees) <= 0.0000084)) bad.push([degrees, back]);
      }
      return bad;
    })""")
    assert found == []


@pytest.mark.parametrize(
    ("text", "coarse"),
    [
        ("43", True), ("43.20", True), ("43.205", False), ("43,2057 N", False), ("43 12 N", True), ("43 12.3 N", False),
        ("43° 12,3′ N", False),
    ],
)  # fmt: skip
def test_a_position_of_a_kilometre_or_more_is_coarse(page: Page, text: str, coarse: bool) -> None:
    """0.001 degrees of latitude are 111 m; 0.1 minutes are a tenth of a nautical mile, 185 m."""
    assert ask(page, "isCoarse", text) is coarse


def test_half_a_position_is_none(page: Page) -> None:
    assert ask(page, "inWords", {"latitude": 43.2}) is None
    assert ask(page, "inWords", {"latitude": None, "longitude": 16}) is None
    assert ask(page, "inWords", {"latitude": 43.20575, "longitude": -16.05}) == {
        "minutes": ["43° 12.345′ N", "16° 03.000′ W"],
        "decimal": ["43.20575° N", "16.05000° W"],
    }
