"""The rows of a crew's day become the boat that the run order takes: alike on every phone, whatever has happened."""

from __future__ import annotations

import hashlib
import json
import random
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page
from support.crews import LIMITS, NINE
from support.static_files import phone_modules

Json = dict[str, Any]
STATIC = Path(__file__).parents[2] / "static"
DAY, YESTERDAY = "2026-05-20", "2026-05-19"
TEN = NINE + 120
REST = LIMITS["crew.safety_rest"] * 2  # in half minutes
FIND = """([rows, date, at, limits]) => {
  const half = (text) => (Number(text.slice(11, 13)) * 3600 + Number(text.slice(14, 16)) * 60
    + Number(text.slice(17, 19))) / 30;
  const crew = window.reader.dayOf(rows, date, half);
  const { boat, tooDeep } = window.reader.boatOf(crew, at, limits);
  return { crew, boat, tooDeep, order: window.reader.orderOf(boat, limits) };
}"""


@pytest.fixture(scope="module")
def crew(chromium: Browser) -> Iterator[Page]:
    with phone_modules(chromium, STATIC, "crew/order.js", "crew/boat_of.js", "plan/named_id.js") as page:
        yield page


def found(page: Page, rows: list[Json], at: int = TEN, date: str = DAY) -> Json:
    answer: Json = page.evaluate(FIND, [rows, date, at, LIMITS])
    return answer


def row(kind: str, record: str, **fields: Any) -> Json:
    return {"record": record, "kind": kind, "deleted": False, "fields": {"date": DAY, **fields}}


def aboard(name: str, **fields: Any) -> Json:
    return row("aboard", f"aboard-{name}", **{
        "person": name, "name": name.title(), "guest": False, "ready": True, "may_meet_m": 30, "late_until": None,
        "over": False, **fields})  # fmt: skip


def turn(name: str, person: str, depth_m: float, **fields: Any) -> Json:
    return row("turn", name, **{
        "person": person, "discipline": "CWT", "role": "deep", "depth_m": depth_m, "dive_s": 100, "pause_s": 600,
        "fixed_at": None, "pinned": None, "safety": None, "began_at": None, "ended_at": None, "result": None,
        "reached_m": None, "dive": None, **fields})  # fmt: skip


THREE = [aboard("ana"), aboard("bo"), aboard("cleo")]


def person(answer: Json, name: str) -> Json:
    one: Json = next(one for one in answer["boat"]["people"] if one["id"] == name)
    return one


def listed(answer: Json) -> list[str]:
    return [one["dive"] for one in answer["order"]["rows"]]


# ---------------------------------------------------------------- the same on every phone


def test_two_phones_with_the_same_rows_in_another_sequence_find_the_same_order(crew: Page) -> None:
    rows = [*THREE, turn("a", "ana", 40), turn("b", "bo", 35), turn("c", "cleo", 20, role="drill"),
            turn("d", "ana", 20, role="drill"), row("crew_day", "day", starts_at="09:00", line_most_m=45)]  # fmt: skip
    first = found(crew, rows)
    assert len(listed(first)) == 4
    for seed in range(6):
        mixed = random.Random(seed).sample(rows, len(rows))
        assert found(crew, mixed)["order"] == first["order"]


def test_a_named_id_is_the_same_everywhere_and_is_the_hash_of_its_parts(crew: Page) -> None:
    """SHA-256 by Python's hashlib; version and variant by RFC 9562."""
    for parts in (["guest", "feed", "ilka"], ["turn", "feed", DAY, "ana", "deep", "CWT", 0], ["é" * 90], []):
        text = json.dumps(parts, separators=(",", ":"), ensure_ascii=False)
        digest = hashlib.sha256(text.encode()).hexdigest()
        said = crew.evaluate("(parts) => window.reader.namedId(...parts)", parts)
        plain = said.replace("-", "")
        assert [len(part) for part in said.split("-")] == [8, 4, 4, 4, 12]
        assert (plain[12], plain[16] in "89ab") == ("8", True)
        assert plain[:12] + plain[13:16] + plain[17:] == digest[:12] + digest[13:16] + digest[17:32]


# ---------------------------------------------------------------- of this day only


def test_what_was_listed_yesterday_is_not_in_todays_order(crew: Page) -> None:
    old = [aboard("dov", date=YESTERDAY) | {"record": "old"}, turn("old-turn", "dov", 30, date=YESTERDAY),
           row("crew_day", "old-day", date=YESTERDAY, line_most_m=5)]  # fmt: skip
    today = found(crew, [*old, *THREE, turn("a", "ana", 40)])
    assert [one["id"] for one in today["boat"]["people"]] == ["ana", "bo", "cleo"]
    assert (listed(today), today["tooDeep"]) == (["a"], [])
    assert listed(found(crew, old, date=DAY)) == []


def test_somebody_whom_two_phones_put_aboard_stands_there_once_and_a_deleted_row_not_at_all(crew: Page) -> None:
    gone = aboard("dov") | {"deleted": True}
    answer = found(crew, [*THREE, aboard("ana") | {"record": "again"}, gone])
    assert [one["id"] for one in answer["boat"]["people"]] == ["ana", "bo", "cleo"]


def test_what_two_phones_said_of_one_person_is_read_alike_in_any_sequence(crew: Page) -> None:
    rows = [*THREE, aboard("ana", may_meet_m=None) | {"record": "again"}]
    assert person(found(crew, rows), "ana") == person(found(crew, rows[::-1]), "ana")


# ---------------------------------------------------------------- what has happened


def test_what_ended_gives_everybody_their_rest_and_leaves_the_line_where_it_was(crew: Page) -> None:
    past = turn("a", "ana", 40, began_at=f"{DAY}T09:50:00Z", ended_at=f"{DAY}T09:51:40Z", safety=["bo"], result="done")
    answer = found(crew, [*THREE, past, turn("b", "bo", 40, pause_s=0), turn("d", "ana", 20, role="drill")])
    ended = 9 * 120 + 51 * 2 + 2  # a moment within a half minute counts as its end
    assert answer["boat"]["line"] == {"depth_m": 40, "free_from": ended}
    ana, bo = person(answer, "ana"), person(answer, "bo")
    assert (ana["free_from"], ana["rested_from"]) == (ended + 20, ended + REST)
    assert (bo["deep_from"], bo["rested_from"], bo["safety_count"]) == (ended + REST, 0, 1)
    assert listed(answer) == ["d", "b"] or listed(answer) == ["b", "d"]
    assert {one["id"]: one["state"] for one in answer["crew"]["turns"]} == {"a": "ended", "b": "coming", "d": "coming"}


def test_a_dive_that_went_deeper_than_planned_counts_by_its_depth(crew: Page) -> None:
    shallow = LIMITS["crew.deep_m"] - 1
    past = turn("a", "ana", shallow, began_at=f"{DAY}T09:50:00Z", ended_at=f"{DAY}T09:51:30Z", result="done")
    assert person(found(crew, [*THREE, past]), "ana")["rested_from"] == 0
    past["fields"]["reached_m"] = shallow + 2
    assert person(found(crew, [*THREE, past]), "ana")["rested_from"] > TEN


def test_what_runs_is_not_moved_by_whatever_changes(crew: Page) -> None:
    runs = turn("z", "cleo", 30, began_at=f"{DAY}T10:00:10Z", safety=["ana"])
    rows = [*THREE, runs, turn("a", "ana", 40), turn("b", "bo", 35)]
    changes: list[list[Json]] = [
        rows, [*rows, aboard("dov"), turn("c", "dov", 20)], [*rows[:1], aboard("bo", over=True), *rows[2:]],
        [*rows, row("crew_day", "day", line_most_m=10)], [*rows, turn("p", "bo", 20, pinned=1)],
    ]  # fmt: skip
    for changed in changes:
        answer = found(crew, changed, TEN + 2)
        first = answer["order"]["rows"][0]
        assert (first["dive"], first["begins"], first["safety"]) == ("z", TEN, ["ana"])
    assert answer["crew"]["running"]["id"] == "z"


def test_of_two_dives_that_two_phones_began_the_later_runs_and_the_other_is_over(crew: Page) -> None:
    rows = [*THREE, turn("a", "ana", 40, began_at=f"{DAY}T09:50:00Z"), turn("b", "bo", 35, began_at=f"{DAY}T09:59:00Z")]
    answer = found(crew, rows)
    assert listed(answer) == ["b"]
    assert {one["id"]: one["state"] for one in answer["crew"]["turns"]} == {"a": "unended", "b": "running"}
    assert person(answer, "ana")["rested_from"] > 9 * 120 + 100


def test_after_a_rescue_the_day_is_over_for_the_diver_even_where_the_list_does_not_say_so(crew: Page) -> None:
    past = turn("a", "ana", 40, began_at=f"{DAY}T09:50:00Z", ended_at=f"{DAY}T09:52:00Z", result="rescue")
    answer = found(crew, [*THREE, past, turn("d", "ana", 20, role="drill"), turn("b", "bo", 20)])
    assert answer["order"]["removed"] == ["ana"]
    assert listed(answer) == ["b"]
    assert "ana" not in answer["order"]["rows"][0]["safety"]


def test_who_comes_late_neither_dives_nor_is_safety_before(crew: Page) -> None:
    late = aboard("ana", late_until="10:30")
    answer = found(crew, [late, *THREE[1:], turn("a", "ana", 20), turn("b", "bo", 20)])
    begins = {one["dive"]: one["begins"] for one in answer["order"]["rows"]}
    assert begins["a"] >= TEN + 60
    assert all("ana" not in one["safety"] for one in answer["order"]["rows"] if one["begins"] < TEN + 60)


# ---------------------------------------------------------------- what the crew sets


def test_a_dive_deeper_than_the_line_may_be_set_is_not_in_the_order(crew: Page) -> None:
    answer = found(crew, [*THREE, turn("a", "ana", 40), turn("b", "bo", 30), row("crew_day", "day", line_most_m=35)])
    assert listed(answer) == ["b"]
    assert answer["tooDeep"] == [{"dive": "a", "rule": "line_most", "who": ["ana"], "values": {"most_m": 35}}]


def test_a_pinned_place_an_official_time_and_a_named_safety_are_kept(crew: Page) -> None:
    rows = [*THREE, turn("a", "ana", 40, pinned=2, safety=["cleo"]), turn("b", "bo", 40), turn("c", "cleo", 40)]
    rows[-1]["fields"]["fixed_at"] = "12:00"
    answer = found(crew, rows)
    assert listed(answer)[1] == "a"
    by = {one["dive"]: one for one in answer["order"]["rows"]}
    assert "cleo" in by["a"]["safety"]
    assert by["c"]["begins"] == 12 * 120


def test_nobody_dives_before_the_day_starts(crew: Page) -> None:
    rows = [*THREE, turn("a", "ana", 20), row("crew_day", "day", starts_at="11:00")]
    assert found(crew, rows, NINE)["order"]["rows"][0]["begins"] >= 11 * 120


def test_the_longest_pause_that_a_diver_needs_is_kept_whichever_dive_follows(crew: Page) -> None:
    rows = [*THREE, turn("w", "ana", 15, role="warm-up", pause_s=None), turn("a", "ana", 24, pause_s=1200),
            turn("d", "ana", 10, role="drill", pause_s=300)]  # fmt: skip
    answer = found(crew, rows)
    rows_of = sorted(answer["order"]["rows"], key=lambda one: one["begins"])
    ends = {one["dive"]: one["ends"] for one in rows_of}
    begins = {one["dive"]: one["begins"] for one in rows_of}
    before_deep = [end for name, end in ends.items() if end <= begins["a"] and name != "a"]
    assert all(begins["a"] - end >= 40 for end in before_deep)
    assert begins["d"] - ends["a"] >= 10


def test_the_deep_dive_of_a_diver_comes_before_the_drills_even_where_the_line_lies_at_the_drills(crew: Page) -> None:
    past = turn("p", "bo", 15, began_at=f"{DAY}T09:50:00Z", ended_at=f"{DAY}T09:51:00Z", result="done")
    rows = [*THREE, past, turn("d", "ana", 15, role="drill", pause_s=0), turn("a", "ana", 30, pause_s=0)]
    assert listed(found(crew, rows)) == ["a", "d"]


def test_a_warm_up_of_the_list_comes_before_its_divers_deep_dive_and_is_none_once_that_is_over(crew: Page) -> None:
    past = turn("p", "bo", 30, began_at=f"{DAY}T09:50:00Z", ended_at=f"{DAY}T09:51:00Z", result="done")
    warm, deep = turn("w", "ana", 15, role="warm-up", pause_s=0), turn("a", "ana", 30, pause_s=0)
    assert listed(found(crew, [*THREE, past, deep, warm])) == ["w", "a"]
    deep["fields"] |= {"began_at": f"{DAY}T09:52:00Z", "ended_at": f"{DAY}T09:53:00Z", "result": "turned"}
    assert listed(found(crew, [*THREE, past, deep, warm])) == ["w"]
