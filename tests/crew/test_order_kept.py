"""A page's order of diving only gets better while nothing happens: it does not become worse for a moment."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page
from support.crews import LIMITS
from support.static_files import phone_modules

Json = dict[str, Any]
STATIC = Path(__file__).parents[2] / "static"
DAY, FEED = "2026-05-20", "crew"
# Records every order that a page is given; `until` runs what waits until the order of that moment is found.
PAGE = """([limits, now]) => {
  const meta = document.createElement("meta");
  meta.name = "crew";
  meta.content = JSON.stringify({ limits, why: {}, cannot: {}, result: {}, care: [] });
  document.head.append(meta);
  window.moment = Date.parse(now);
  Date.now = () => window.moment;
}"""
START = """async () => {
  const kept = await import("/js/parts/crew_order.js");
  window.given = [];
  window.crewDay = kept.crewDay;
  window.begin = kept.ordering(({ rows }, isFirst) => window.given.push({ rows, isFirst }));
}"""
RUN = """async ([rows, date, later_s, isAnew]) => {
  window.moment += later_s * 1000;
  window.given.length = 0;
  window.begin(window.crewDay(rows, date), isAnew);
  let quiet = 0; // a task of its own follows each step: none is left when nothing came for some of them
  for (let last = -1; quiet < 10; quiet = last === window.given.length ? quiet + 1 : 0) {
    last = window.given.length;
    await new Promise((done) => setTimeout(done));
  }
  return window.given;
}"""


@pytest.fixture
def phone(chromium: Browser) -> Iterator[Page]:
    with phone_modules(chromium, STATIC, "crew/order.js") as page:
        page.evaluate(PAGE, [LIMITS, f"{DAY}T09:00:00"])
        page.evaluate(START)
        yield page


def row(kind: str, record: str, **fields: Any) -> Json:
    return {"record": record, "kind": kind, "deleted": False, "fields": {"date": DAY, **fields}}


def aboard(name: str, **fields: Any) -> Json:
    return row("aboard", f"aboard-{name}", **{"person": name, "name": name, "guest": False, "ready": True,
               "may_meet_m": 30, "late_until": None, "over": False, **fields})  # fmt: skip


def turn(name: str, person: str, depth_m: float, **fields: Any) -> Json:
    return row("turn", name, **{
        "person": person, "discipline": "CWT", "role": "deep", "depth_m": depth_m, "dive_s": 100, "pause_s": 300,
        "fixed_at": None, "pinned": None, "safety": None, "began_at": None, "ended_at": None, "result": None,
        "reached_m": None, "dive": None, **fields})  # fmt: skip


# A boat whose first answer is another order than the best one.
MEETS = {"ana": 15, "bo": 15, "cleo": 20, "dag": 30}
DIVES = [("ana", 18, 160), ("ana", 26, 160), ("bo", 26, 80), ("cleo", 18, 160), ("cleo", 33, 160), ("dag", 33, 120)]
SECOND = (1, 4)  # a diver's second dive
ROWS = [
    *(aboard(name, may_meet_m=most) for name, most in MEETS.items()),
    *(turn(f"{name}-{at}", name, depth_m, dive_s=dive_s, role="drill" if at in SECOND else "deep")
      for at, (name, depth_m, dive_s) in enumerate(DIVES)),
]  # fmt: skip


def given(phone: Page, rows: list[Json], later_s: int = 0, *, anew: bool = False) -> list[Json]:
    """The orders that the page is given from a touch, or from this later moment on, until nothing better is found."""
    found: list[Json] = phone.evaluate(RUN, [rows, DAY, later_s, anew])
    return found


def same(one: Json, other: Json) -> bool:
    return json.dumps(one["rows"]) == json.dumps(other["rows"])


def test_a_minute_later_the_best_order_stands_until_a_new_one_is_found_to_the_end(phone: Page) -> None:
    first = given(phone, ROWS)
    assert [one["dive"] for one in first[0]["rows"]] != [one["dive"] for one in first[-1]["rows"]]
    assert [one["isFirst"] for one in first] == [True] + [False] * (len(first) - 1)
    (later,) = given(phone, ROWS, 60)  # the times move on with the clock: one new list, not its first guess
    assert not later["isFirst"]
    assert [one["dive"] for one in later["rows"]] == [one["dive"] for one in first[-1]["rows"]]
    assert given(phone, ROWS, 20) == []


def test_an_order_that_does_not_change_with_the_time_is_not_given_again(phone: Page) -> None:
    rows = [*ROWS, row("crew_day", "day", starts_at="11:00", line_most_m=None)]
    assert len(given(phone, rows)) > 1
    assert given(phone, rows, 60) == []


def test_a_page_that_draws_anew_gets_the_order_that_it_had(phone: Page) -> None:
    first = given(phone, ROWS)
    again = given(phone, ROWS, anew=True)
    assert len(again) == 1
    assert same(again[0], first[-1])


def test_when_something_happens_the_order_is_new_at_once(phone: Page) -> None:
    given(phone, ROWS)
    left = [one for one in ROWS if one["record"] != "bo-2"]
    changed = given(phone, left)
    assert changed[0]["isFirst"]
    assert "bo-2" not in [one["dive"] for one in changed[-1]["rows"]]
