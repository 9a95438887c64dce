"""One rulebook, two readers: the phone's reader in a real browser answers what webapp/planner/reader/ answers."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Sequence
from datetime import timedelta
from pathlib import Path
from random import Random
from typing import Any

import pytest
from playwright.sync_api import Browser, Page
from support.edges import EDGES
from support.seasons import FIRST, bare_sheet, depth, sheet_of, told
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


def each_on_the_phone(page: Page, name: str, first: Any, given: Sequence[Sequence[Any]]) -> Any:
    """What the phone's reader answers to the same first value with each of these.

    As JSON text both ways, which is also how a sheet reaches a phone; in one call, which costs more than to answer.
    """
    call = """([name, first, given]) => {
      const [same, each] = [JSON.parse(first), JSON.parse(given)];
      return JSON.stringify(each.map((values) => window.reader[name](same, ...values)));
    }"""
    return json.loads(page.evaluate(call, [name, json.dumps(first), json.dumps(given)]))


def on_the_phone(page: Page, name: str, first: Any, *values: Any) -> Any:
    return each_on_the_phone(page, name, first, [values])[0]


PARTS, SEASONS, LOGS = 4, 126, 5  # in parts that are as many tests, so that several processes share them


@pytest.mark.parametrize("part", range(PARTS))
def test_both_readers_give_the_same_plan_for_any_season_and_log(reader: Page, part: int) -> None:
    """Targets, days, stand-downs and sentences are all equal, in 2,520 logs of 504 seasons: the same in each run."""
    for number in range(SEASONS):
        chance = Random(f"season {number} of part {part}")
        sheet = bare_sheet(chance)
        stories = [told(chance, sheet) for _ in range(LOGS)]
        for story, there in zip(stories, each_on_the_phone(reader, "read", sheet, stories), strict=True):
            assert read(sheet, *story) == there, (sheet, *story)


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


def test_both_readers_ask_for_the_same_surface_interval(reader: Page) -> None:
    chance = Random("surface intervals")
    dives = [(depth(chance, 1, 150, of=10), chance.randint(1, 400)) for _ in range(1_000)]
    table = SHEET["interval"]
    assert [needed(table, *dive) for dive in dives] == each_on_the_phone(reader, "needed", table, dives)


def any_day(chance: Random) -> list[dict[str, float]]:
    """A few dives with long pauses, or many with short ones."""
    if chance.random() < 0.5:
        timed = [(depth(chance, 10, 90), chance.randint(20, 240), chance.randint(60, 2400)) for _ in range(5)]
        return in_turn(timed[: chance.randint(1, 5)])
    depths_m = (15, 19.9, 20, 35, 39.9, 40, 60)
    quick = [(chance.choice(depths_m), chance.randint(20, 90), chance.randint(0, 300)) for _ in range(40)]
    return in_turn(quick[: chance.randint(9, 40)])


def in_turn(dives: list[tuple[float, int, int]]) -> list[dict[str, float]]:
    surfaced_s, day = 0, []
    for reached_m, dive_s, pause_s in dives:
        surfaced_s += dive_s + pause_s
        day.append({"reached_m": reached_m, "dive_s": dive_s, "surfaced_s": surfaced_s})
    return day


@pytest.mark.parametrize("older", [False, True], ids=["sheet of today", "sheet from before many dives counted"])
def test_both_readers_lengthen_the_pause_alike(reader: Page, older: bool) -> None:
    sheet, chance = before_many_dives_counted(SHEET) if older else SHEET, Random(f"pauses {older}")
    days = [any_day(chance) for _ in range(200)]
    pauses = each_on_the_phone(reader, "pauseAfter", sheet, [[day] for day in days])
    short = each_on_the_phone(reader, "shortPause", sheet, [[day[:-1], day[-1]] for day in days])
    for day, pause, is_short in zip(days, pauses, short, strict=True):
        assert (pause_after(sheet, day), short_pause(sheet, day[:-1], day[-1])) == (pause, is_short), day


def test_both_readers_say_the_same_when_two_pauses_end_in_the_same_second(reader: Page) -> None:
    """The pause of a deeper dive before, and that of the last one: no drawn day is likely to hit it."""
    earlier = in_turn([(60, 120, 0)])
    whole_s, own_s = pause_after(SHEET, earlier)["seconds"], needed(SHEET["interval"], 20, 40)[0]["seconds"]
    for early_s in (-1, 0, 1):
        day = [*earlier, {"reached_m": 20, "dive_s": 40, "surfaced_s": 120 + whole_s - own_s - early_s}]
        assert pause_after(SHEET, day) == on_the_phone(reader, "pauseAfter", SHEET, day)


@pytest.mark.parametrize("reached_m", [19.9, 20, 35, 40])
def test_both_readers_lengthen_the_pause_alike_all_through_a_day_of_many_dives(reader: Page, reached_m: float) -> None:
    day = in_turn([(reached_m, 60, 120)] * 40)
    so_far = [day[:count] for count in range(1, len(day) + 1)]
    there = each_on_the_phone(reader, "pauseAfter", SHEET, [[dives] for dives in so_far])
    assert [pause_after(SHEET, dives) for dives in so_far] == there


def before_many_dives_counted(sheet: dict[str, Any]) -> dict[str, Any]:
    table = sheet["interval"]
    older = {name: table["repetition"][name] for name in ("deep_m", "dives", "within_min", "factor")}
    return {**sheet, "interval": {**table, "repetition": older}}


def test_twenty_thousand_dives_on_one_day_take_the_phone_no_more_than_a_moment(reader: Page) -> None:
    timed = """(sheet) => {
      const day = Array.from({ length: 20_000 }, (_, index) => ({ reached_m: 45, dive_s: 60, surfaced_s: index }));
      const began = performance.now();
      window.reader.pauseAfter(sheet, day);
      return performance.now() - began;
    }"""
    assert reader.evaluate(timed, SHEET) < 1500


def test_the_phones_reader_holds_no_number_of_the_trade() -> None:
    """Only counting (0, 1), the parts of an ISO date, seconds of a minute and milliseconds of a day stand in it."""
    for path in (STATIC / "js" / "reader").glob("*.js"):
        code = re.sub(r"//[^\n]*|/\*[\s\S]*?\*/|\"[^\"\n]*\"|`[^`]*`", "", path.read_text(encoding="utf-8"))
        numbers = set(re.findall(r"(?<![\w.])\d[\d.]*", code))
        assert numbers <= {"0", "1", "5", "7", "8", "10", "60", "86400000", "1000000"}
