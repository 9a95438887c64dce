"""Small rules that the boat pages share, each by itself: the focus of a day, and the items of the check at the line.

The rules are our own choice; their words and numbers are the rulebook's.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page
from support.static_files import phone_modules

from webapp.rulebook_file import read_rulebook
from webapp.web.words import labels_json

STATIC = Path(__file__).parents[2] / "static"
LOAD = """async (labels) => {
  globalThis.LABELS = JSON.parse(labels);
  const parts = await Promise.all(["check", "focus", "conditions"].map((name) => import(`/js/plan/${name}.js`)));
  Object.assign(window.reader, ...parts);
}"""
MON, TUE, WED, THU = "2026-05-18", "2026-05-19", "2026-05-20", "2026-05-21"
CHECK = read_rulebook().texts["check"]
SEASON = [code for code, item in CHECK.items() if item.get("season")]
EACH_DAY = [code for code, item in CHECK.items() if not item.get("season")]
Rows = list[dict[str, Any]]


@pytest.fixture(scope="module")
def rules(chromium: Browser) -> Iterator[Page]:
    with phone_modules(chromium, STATIC) as page:
        page.evaluate(LOAD, labels_json())
        yield page


def ask(page: Page, name: str, *values: Any) -> Any:
    call = "([name, text]) => JSON.stringify(window.reader[name](...JSON.parse(text)) ?? null)"
    return json.loads(page.evaluate(call, [name, json.dumps(values)]))


def row(kind: str, record: str, more: dict[str, Any] | None = None, **fields: Any) -> dict[str, Any]:
    return {"kind": kind, "record": record, "deleted": False, "damaged": False, "fields": fields, **(more or {})}


def focus(
    record: str, day: str, at: str = "08:00", more: dict[str, Any] | None = None, **fields: Any
) -> dict[str, Any]:
    logged_at = f"{day}T{at}:00Z"
    return row("focus", record, more, **{"from": day, "discipline": "CNF", "logged_at": logged_at, **fields})


def on(page: Page, rows: Rows, day: str, discipline: str = "CNF") -> str | None:
    found = ask(page, "focusOn", {"rows": rows}, discipline, day)
    return found and str(found["record"])


def test_the_focus_of_a_day_is_the_one_that_began_last_and_of_one_day_the_one_set_later(rules: Page) -> None:
    rows = [focus("z", TUE), focus("b", MON, "19:00"), focus("c", MON, "08:00"), focus("other", MON, discipline="FIM")]
    assert [on(rules, rows, day) for day in ("2026-05-17", MON, TUE, WED)] == [None, "b", "z", "z"]
    assert on(rules, rows, WED, "FIM") == "other"
    assert on(rules, rows, WED, "CWT") is None
    gone = [focus("d", WED, more={"deleted": True}), focus("e", WED, more={"damaged": True}), row("day", "f", date=WED)]
    assert on(rules, rows + gone, THU) == "z"


def test_the_earlier_ones_of_a_focus_are_those_of_its_discipline_the_newest_first(rules: Page) -> None:
    now = focus("now", WED)
    rows = [focus("a", MON), focus("c", TUE, "19:00"), now, focus("b", TUE), focus("next", THU),
            focus("other", MON, discipline="FIM"), focus("gone", MON, more={"deleted": True})]  # fmt: skip
    assert [one["record"] for one in ask(rules, "focusesBefore", {"rows": rows}, now)] == ["c", "b", "a"]


def test_a_focus_reads_as_its_own_words_before_those_of_its_cue(rules: Page) -> None:
    glide = read_rulebook().texts["cue"]["glide"]["says"]
    assert ask(rules, "focusWords", {"says": " legs later ", "cue": "glide"}) == "legs later"
    assert ask(rules, "focusWords", {"says": " ", "cue": "glide"}) == glide
    assert ask(rules, "focusWords", {"says": "", "cue": "of a newer app"}) == "of a newer app"
    assert ask(rules, "focusWords", {}) == ""


def test_each_discipline_has_its_own_cues(rules: Page) -> None:
    for discipline in ("CWT", "CNF", "FIM", "VWT"):
        expected = [code for code, cue in read_rulebook().texts["cue"].items() if discipline in cue["for"]]
        assert [code for code, _ in ask(rules, "cuesOf", discipline)] == expected


def drill(day: str, rate: str | None = "there", by: str = "Ilka", **more: Any) -> dict[str, Any]:
    return {"role": "drill", "focus": "f", "date": day, "focus_rate": rate, "filmed_by": by, **more}


def test_only_drills_with_the_focus_that_were_filmed_and_rated_count_towards_the_next(rules: Page) -> None:
    there = [drill(MON), drill(TUE), drill(TUE)]
    assert ask(rules, "isLearned", there, "f")
    assert not ask(rules, "isLearned", [*there[:2], drill(TUE, "partly")], "f")
    for other in (drill(WED, role="deep"), drill(WED, focus="g"), drill(WED, by=""), drill(WED, None)):
        assert not ask(rules, "isLearned", [*there[:2], other], "f")
        assert ask(rules, "isLearned", [*there, other, other], "f")  # nor does it push the others out
    assert not ask(rules, "isLearned", [*there, drill(WED, "no"), drill(WED, "no")], "f")  # of the last four
    assert not ask(rules, "isLearned", [drill(MON)] * 4, "f")  # on one day


def test_a_next_focus_is_proposed_when_it_was_there_on_three_of_the_last_four_filmed_drills_of_two_days(
    rules: Page,
) -> None:
    def learned(*drills: tuple[str, str, str]) -> bool:
        return bool(ask(rules, "isLearned", [drill(*one) for one in drills], "f"))

    there, partly, mon, tue = "there", "partly", MON, TUE
    assert learned((mon, there, "I"), (mon, partly, "I"), (tue, there, "I"), (tue, there, "I"))
    assert not learned((mon, there, "I"), (mon, there, "I"), (mon, there, "I"))  # one day only
    assert not learned((mon, there, "I"), (tue, there, "I"), (tue, there, ""))  # the third was not filmed
    assert not learned(*[(mon, there, "I")] * 3, (tue, partly, "I"), (tue, "no", "I"))  # long ago
    assert not learned((mon, there, "I"), (tue, there, "I"))


def items(page: Page, rows: Rows, today: str = WED, first_day: str | None = MON) -> dict[str, dict[str, Any]]:
    sheet = first_day and {"first_day": first_day}
    return {one["code"]: one for one in ask(page, "itemsOf", {"rows": rows, "sheet": sheet}, today)}


def day(date: str, more: dict[str, Any] | None = None, **fields: Any) -> dict[str, Any]:
    return row("day", date, more, date=date, **fields)


def test_an_item_is_checked_by_its_own_day_and_one_of_the_season_by_any_day_of_it(rules: Page) -> None:
    each, season = EACH_DAY[0], SEASON[0]
    found = items(rules, [day(TUE, checked=[each, season]), day(WED, checked=[EACH_DAY[1]])])
    assert [found[code]["done"] for code in (each, EACH_DAY[1], season)] == [False, True, True]
    assert [found[code]["on"] for code in (each, EACH_DAY[1], season)] == [None, None, TUE]
    assert list(found) == list(CHECK)
    assert [one["says"] for one in found.values()] == [item["says"] for item in CHECK.values()]


def test_what_was_checked_before_the_season_on_a_later_day_or_on_a_deleted_day_does_not_count(rules: Page) -> None:
    season = SEASON[0]
    before = day("2026-05-17", checked=[season])
    assert not items(rules, [before])[season]["done"]
    assert items(rules, [before], first_day=None)[season]["done"]  # no season is known: what was checked holds
    assert not items(rules, [day(THU, checked=[season], own_checks=["Torch"])])[season]["done"]
    assert "Torch" not in items(rules, [day(THU, own_checks=["Torch"])])
    for more in ({"deleted": True}, {"damaged": True}):
        gone = [day(TUE, more, checked=[season], own_checks=["Torch"]), day(WED, more, checked=[EACH_DAY[0]])]
        found = items(rules, gone)
        assert not any(one["done"] for one in found.values())
        assert "Torch" not in found


def test_own_items_are_those_of_the_last_day_that_has_any_and_are_checked_anew_each_day(rules: Page) -> None:
    rows = [day(MON, own_checks=["Old"]), day(TUE, own_checks=["Torch", "Mask"], checked=["Torch"]), day(WED)]
    found = items(rules, rows)
    assert [code for code, one in found.items() if one["own"]] == ["Torch", "Mask"]
    assert not found["Torch"]["done"]
    rows[-1]["fields"]["checked"] = ["Mask"]
    found = items(rules, rows)
    assert [found[code]["done"] for code in ("Torch", "Mask")] == [False, True]
    assert [
        one for one in items(rules, [*rows[:2], day(WED, own_checks=[])]).values() if one["own"]
    ] == []  # all removed


def test_conditions_are_filled_in_from_the_last_day_at_the_same_site_whatever_season_that_was(rules: Page) -> None:
    """A day of somewhere else in between, and one of which nothing was said, are passed over."""
    said = {"2025-05-30": 12, "2026-05-10": 18, "2026-05-16": 9, WED: 20}
    rows = [row("day", day, date=day, visibility_m=metres) for day, metres in said.items()]
    rows.insert(3, row("day", MON, date=MON, suit="", current=None))
    here = [["2025-05-01", "2025-05-31"], ["2026-05-01", "2026-05-14"], [MON, "2026-06-10"]]

    def filled(day: str, times: list[list[str]] | None) -> tuple[Any, Any]:
        slate = {"rows": rows, "sheet": {"first_day": "2026-05-01"}, "season": {"days_at": times}}
        found = ask(rules, "conditionsOf", slate, day)
        return found["from"], found["fields"].get("visibility_m")

    assert filled(TUE, here) == ("2026-05-10", 18)  # not of the 16th, when the season was elsewhere
    assert filled(TUE, here[::2]) == ("2025-05-30", 12)  # the same site a year before
    assert filled(WED, here[:1]) == (None, 20)  # the day's own
    assert filled(TUE, None) == ("2026-05-16", 9)  # a phone that knows no site takes the days of the season
