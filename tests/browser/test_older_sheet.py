"""A phone whose app is newer than its sheet: today's reader plans from it what the reader of that time planned."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page
from support.first_release import story, unpacked
from support.static_files import phone_modules

STATIC = Path(__file__).parents[2] / "static"
# The plans of a sheet for several moments, each with its day and the number of dives that were logged by then. As
# text: what a test and a page give each other otherwise takes far longer than the reading.
READ = """(text) => {
  const { read, completed } = window.reader;
  const { sheet, log, moments } = JSON.parse(text);
  const records = log.map((dive) => ({ kind: "dive", ...dive }));
  return JSON.stringify(moments.map(([today, count]) => read(completed(sheet), records.slice(0, count), today)));
}"""
SEASONS: tuple[dict[str, Any], ...] = (
    {},
    {"drill": None},
    {"days_on": 5, "days_off": 1, "block_days": 60, "break_days": 0, "rules": {"warm_up.dives": 2}},
)


@pytest.fixture(scope="module")
def first(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return unpacked(tmp_path_factory.mktemp("first"))


@pytest.fixture(scope="module")
def reader(chromium: Browser) -> Iterator[Page]:
    with phone_modules(chromium, STATIC, "reader/ladder.js", "plan/older_sheet.js") as page:
        yield page


def plans(reader: Page, sheet: Any, log: list[Any], *moments: tuple[str, int]) -> list[dict[str, Any]]:
    """What today's reader plans from a sheet at these moments."""
    asked = json.dumps({"sheet": sheet, "log": log, "moments": moments})
    found: list[dict[str, Any]] = json.loads(reader.evaluate(READ, asked))
    return found


def targets(plan: dict[str, Any], since: str) -> list[Any]:
    """What is planned on each day: what a diver would do, without the sentences, which may have changed."""
    names = ("discipline", "role", "target_m", "repeat", "repeats", "done")
    return [
        [day["date"], day["kind"], [[dive[name] for name in names] for dive in day["dives"]]]
        for day in plan["days"]
        if day["date"] >= since
    ]


@pytest.mark.parametrize("changes", SEASONS, ids=["demo", "no drill", "warm-ups, five days"])
def test_a_sheet_of_the_first_release_gives_the_targets_that_its_own_reader_gave(
    reader: Page, first: Path, changes: dict[str, Any]
) -> None:
    told = story(first, 30, **changes)
    moments = [(today, dives) for today, dives, _ in told["plans"]]
    read = plans(reader, told["sheet"], told["log"], *moments)
    for (today, _, plan), found in zip(told["plans"], read, strict=True):
        assert targets(found, today) == targets(plan, today), today
        assert (found["next"] or {}).get("target_m") == (plan["next"] or {}).get("target_m")
        assert {name: one["rung_m"] for name, one in found["disciplines"].items()} == {
            name: one["rung_m"] for name, one in plan["disciplines"].items()
        }


HARD, EARLY = {"effort": 9}, {"reached_m": 6.0}


@pytest.mark.parametrize(
    ("bad", "day"),
    [({1: HARD}, 2), ({1: HARD, 2: HARD}, 3), ({2: EARLY}, 3), ({3: EARLY, 4: HARD}, 6)],
    ids=["one hard", "two hard", "turned early", "turned and hard"],
)
def test_hard_and_turned_dives_step_down_and_count_for_the_spacing_as_they_did(
    reader: Page, first: Path, bad: dict[int, dict[str, Any]], day: int
) -> None:
    told = story(first, day + 1, bad, days_on=9, days_off=0, block_days=60, break_days=0)
    today, dives, plan = told["plans"][day]
    (found,) = plans(reader, told["sheet"], told["log"], (today, dives))
    assert found["disciplines"]["FIM"]["rung_m"] == plan["disciplines"]["FIM"]["rung_m"]
    assert [one["kind"] for one in found["days"] if one["date"] == today] == [
        one["kind"] for one in plan["days"] if one["date"] == today
    ]
    assert found["next"]["target_m"] == plan["next"]["target_m"]


def test_a_bad_dive_and_a_day_off_are_read_from_such_a_sheet_without_trouble(reader: Page, first: Path) -> None:
    told = story(first, 12)
    day = {"id": "x", "kind": "day", "date": "2026-05-15", "no_diving": "sick", "hold": False, "shallower": None}
    log = [*told["log"], day]
    for sign in ("ears_slow", "lmc", "blackout", "cough"):
        for dive in [one for one in log if one.get("role") == "deep"][-2:]:
            dive["signs"] = [sign]
        (plan,) = plans(reader, told["sheet"], log, ("2026-05-14", len(log)))
        (said,) = [one for one in plan["days"] if one["date"] == "2026-05-15"]
        assert said["kind"] in ("off", "stand-down", "rest", "easy"), sign
        words = str(plan)
        assert "undefined" not in words, sign
        assert "NaN" not in words, sign


def test_a_sheet_that_is_complete_is_read_as_it_is(reader: Page) -> None:
    assert reader.evaluate(
        "() => { const sheet = { past: [], not_ready: {} }; return window.reader.completed(sheet) === sheet; }"
    )


def test_a_sheet_from_before_the_morning_was_asked_gets_its_words_and_keeps_its_own(reader: Page) -> None:
    sheet = {"past": [], "words": {"easy_asked": "easy, by its own words"}}
    found = reader.evaluate("(sheet) => window.reader.completed(sheet)", sheet)
    assert found["words"] == {
        "easy_asked": "easy, by its own words", "not_ready": "easy day: no deep dive today ({why})",
    }  # fmt: skip
    assert (found["past"], found["not_ready"]) == ([], {})
