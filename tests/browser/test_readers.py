"""One rulebook, two readers: the phone's reader in a real browser answers what webapp/planner/reader/ answers."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, seed, settings
from hypothesis import strategies as st
from playwright.sync_api import Browser, Page
from support.seasons import depths, seasons, sheet_of, stories
from support.static_files import serving_static
from support.story import season

from webapp.planner.reader.interval import needed, pause_after
from webapp.planner.reader.ladder import read
from webapp.protocol.log import check_log
from webapp.rulebook_file import read_rulebook

STATIC = Path(__file__).parents[2] / "static"
SHEET = sheet_of(season())
CASES = Path(__file__).parents[1] / "cases"
LOAD = """Promise.all([import("/js/reader/ladder.js"), import("/js/reader/interval.js")])
  .then((parts) => { window.reader = Object.assign({}, ...parts); })"""


@pytest.fixture(scope="module")
def reader(chromium: Browser) -> Iterator[Page]:
    with serving_static(STATIC) as address:
        page = chromium.new_page()
        page.goto(f"{address}/css/base.css")
        page.evaluate(LOAD)
        yield page
        page.close()


def on_the_phone(page: Page, name: str, *values: Any) -> Any:
    """What the phone's reader answers; as JSON text both ways, which is also how a sheet reaches a phone."""
    call = "([name, text]) => JSON.stringify(window.reader[name](...JSON.parse(text)))"
    return json.loads(page.evaluate(call, [name, json.dumps(values)]))


PARTS, EACH = 8, 315  # in parts that are as many tests, so that several processes share them


@pytest.mark.parametrize("part", range(PARTS))
def test_both_readers_give_the_same_plan_for_any_season_and_log(reader: Page, part: int) -> None:
    """Targets, days, stand-downs and sentences are all equal, in at least 2,500 seasons: the same in each run."""

    @seed(part)
    @settings(
        max_examples=EACH, derandomize=False, database=None, print_blob=True, suppress_health_check=list(HealthCheck)
    )
    @given(stories())
    def compare(story: tuple[dict[str, Any], list[dict[str, Any]], str]) -> None:
        compared.append(1)
        assert read(*story) == on_the_phone(reader, "read", *story)

    compared: list[int] = []
    compare()
    assert len(compared) >= EACH


@pytest.mark.parametrize("path", sorted(CASES.glob("*.json")), ids=lambda path: path.stem)
def test_both_readers_give_what_the_shared_case_says(reader: Page, path: Path) -> None:
    case = json.loads(path.read_text(encoding="utf-8"))
    sheet, log = sheet_of(case["season"]), check_log(case["log"], read_rulebook())
    plan = read(sheet, log, case["today"])

    assert plan == on_the_phone(reader, "read", sheet, log, case["today"])
    for day, kind, target_m in case["days"]:
        found = next(one for one in plan["days"] if one["date"] == day)
        assert [kind, target_m] == [
            found["kind"],
            next((d["target_m"] for d in found["dives"] if d["role"] == "deep"), None),
        ]


@settings(max_examples=150, suppress_health_check=list(HealthCheck))
@given(seasons(), depths(1, 150), st.integers(1, 400))
def test_both_readers_ask_for_the_same_surface_interval(
    reader: Page, season: dict[str, Any], reached_m: float, dive_s: int
) -> None:
    sheet = sheet_of(season)
    table = sheet["interval"]
    assert needed(table, reached_m, dive_s) == on_the_phone(reader, "needed", table, reached_m, dive_s)


DIVES = st.lists(st.tuples(depths(10, 90), st.integers(20, 240), st.integers(60, 2400)), min_size=1, max_size=5)


@settings(max_examples=150, suppress_health_check=list(HealthCheck))
@given(DIVES)
def test_both_readers_lengthen_the_pause_alike(reader: Page, dives: list[tuple[float, int, int]]) -> None:
    surfaced_s, day = 0, []
    for reached_m, dive_s, pause_s in dives:
        surfaced_s += dive_s + pause_s
        day.append({"reached_m": reached_m, "dive_s": dive_s, "surfaced_s": surfaced_s})
    assert pause_after(SHEET, day) == on_the_phone(reader, "pauseAfter", SHEET, day)


def test_the_phones_reader_holds_no_number_of_the_trade() -> None:
    """Only counting (0, 1), the parts of an ISO date, seconds of a minute and milliseconds of a day stand in it."""
    for path in (STATIC / "js" / "reader").glob("*.js"):
        code = re.sub(r"//[^\n]*|/\*[\s\S]*?\*/|\"[^\"\n]*\"|`[^`]*`", "", path.read_text(encoding="utf-8"))
        numbers = set(re.findall(r"(?<![\w.])\d[\d.]*", code))
        assert numbers <= {"0", "1", "5", "7", "8", "10", "60", "86400000", "1000000"}
