"""One rulebook, two readers: the phone's reader in a real browser answers what webapp/planner/reader/ answers."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, seed, settings
from hypothesis import strategies as st
from playwright.sync_api import Browser, Page
from support.edges import EDGES
from support.seasons import FIRST, depths, seasons, sheet_of, stories, tenths
from support.static_files import phone_modules
from support.story import season

from webapp.planner.reader.interval import needed, pause_after, short_pause
from webapp.planner.reader.ladder import read
from webapp.protocol.log import check_log
from webapp.rulebook_file import read_rulebook

STATIC = Path(__file__).parents[2] / "static"
SHEET = sheet_of(season())
CASES = Path(__file__).parents[1] / "cases"


@pytest.fixture(scope="module")
def reader(chromium: Browser) -> Iterator[Page]:
    with phone_modules(chromium, STATIC, "reader/ladder.js", "reader/interval.js") as page:
        yield page


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


@pytest.mark.parametrize("name", EDGES)
def test_both_readers_agree_at_the_edge_of_each_rule(reader: Page, name: str) -> None:
    raw, log, offset = EDGES[name]
    sheet, today = sheet_of(raw), (FIRST + timedelta(days=offset)).isoformat()
    assert read(sheet, log, today) == on_the_phone(reader, "read", sheet, log, today)


@pytest.mark.parametrize("reached_m", [10.1, 30.5, 59.9])
def test_both_readers_take_the_pressure_of_the_next_metre_down(reader: Page, reached_m: float) -> None:
    table = SHEET["interval"]
    assert needed(table, reached_m, 90) == on_the_phone(reader, "needed", table, reached_m, 90)


@settings(max_examples=150, suppress_health_check=list(HealthCheck))
@given(seasons(), tenths(1, 150), st.integers(1, 400))
def test_both_readers_ask_for_the_same_surface_interval(
    reader: Page, season: dict[str, Any], reached_m: float, dive_s: int
) -> None:
    sheet = sheet_of(season)
    table = sheet["interval"]
    assert needed(table, reached_m, dive_s) == on_the_phone(reader, "needed", table, reached_m, dive_s)


TIMED = st.tuples(depths(10, 90), st.integers(20, 240), st.integers(60, 2400))
QUICK = st.tuples(st.sampled_from((15, 19.9, 20, 35, 39.9, 40, 60)), st.integers(20, 90), st.integers(0, 300))
DIVES = st.lists(TIMED, min_size=1, max_size=5) | st.lists(QUICK, min_size=9, max_size=40)


def in_turn(dives: list[tuple[float, int, int]]) -> list[dict[str, float]]:
    surfaced_s, day = 0, []
    for reached_m, dive_s, pause_s in dives:
        surfaced_s += dive_s + pause_s
        day.append({"reached_m": reached_m, "dive_s": dive_s, "surfaced_s": surfaced_s})
    return day


@settings(max_examples=300, suppress_health_check=list(HealthCheck))
@given(DIVES, st.booleans())
def test_both_readers_lengthen_the_pause_alike(reader: Page, dives: list[tuple[float, int, int]], older: bool) -> None:
    """Also on a sheet from before many dives counted."""
    sheet = before_many_dives_counted(SHEET) if older else SHEET
    day = in_turn(dives)
    assert pause_after(sheet, day) == on_the_phone(reader, "pauseAfter", sheet, day)
    assert short_pause(sheet, day[:-1], day[-1]) == on_the_phone(reader, "shortPause", sheet, day[:-1], day[-1])


@pytest.mark.parametrize("reached_m", [19.9, 20, 35, 40])
def test_both_readers_lengthen_the_pause_alike_all_through_a_day_of_many_dives(reader: Page, reached_m: float) -> None:
    day = in_turn([(reached_m, 60, 120)] * 40)
    for count in range(1, len(day) + 1):
        assert pause_after(SHEET, day[:count]) == on_the_phone(reader, "pauseAfter", SHEET, day[:count])


def before_many_dives_counted(sheet: dict[str, Any]) -> dict[str, Any]:
    table = sheet["interval"]
    older = {name: table["repetition"][name] for name in ("deep_m", "dives", "within_min", "factor")}
    return {**sheet, "interval": {**table, "repetition": older}}


def test_twenty_thousand_dives_on_one_day_take_the_phone_no_more_than_a_moment(reader: Page) -> None:
    day = [{"reached_m": 45, "dive_s": 60, "surfaced_s": index} for index in range(20_000)]
    timed = """([sheet, day]) => {
      const began = performance.now();
      window.reader.pauseAfter(sheet, day);
      return performance.now() - began;
    }"""
    assert reader.evaluate(timed, [SHEET, day]) < 1500


def test_the_phones_reader_holds_no_number_of_the_trade() -> None:
    """Only counting (0, 1), the parts of an ISO date, seconds of a minute and milliseconds of a day stand in it."""
    for path in (STATIC / "js" / "reader").glob("*.js"):
        code = re.sub(r"//[^\n]*|/\*[\s\S]*?\*/|\"[^\"\n]*\"|`[^`]*`", "", path.read_text(encoding="utf-8"))
        numbers = set(re.findall(r"(?<![\w.])\d[\d.]*", code))
        assert numbers <= {"0", "1", "5", "7", "8", "10", "60", "86400000", "1000000"}
