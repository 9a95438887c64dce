"""The strict check: what it accepts, what it refuses, and that it names every fault at once."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.seasons import day, seasons
from support.story import season

from webapp.planner.plan import plan_of
from webapp.protocol.log import check_log
from webapp.records.clearance import check_clearance
from webapp.records.dive import check_dive
from webapp.records.season import check_season
from webapp.rulebook.faults import Fault, Refused
from webapp.rulebook_file import read_rulebook

BOOK = read_rulebook()
DIVE = {"date": "2031-04-01", "discipline": "FIM", "role": "deep", "target_m": 40, "reached_m": 40}


def faults(check: Any, raw: object) -> dict[str, str]:
    """The faults by field; fails when the input is accepted."""
    with pytest.raises(Refused) as refused:
        check(raw, BOOK)
    return {fault.field: fault.says for fault in refused.value.faults}


def faults_of(check: Any, raw: object) -> tuple[Fault, ...]:
    """The faults, none when the input is accepted; any exception but Refused fails the test."""
    try:
        check(raw, BOOK)
    except Refused as refused:
        return refused.faults
    return ()


def with_(raw: dict[str, Any], path: str, value: object) -> dict[str, Any]:
    """A copy with one value changed; the path is dotted, numbers are places in a list."""
    changed = deepcopy(raw)
    *way, last = path.split(".")
    place: Any = changed
    for name in way:
        place = place[int(name)] if name.isdigit() else place[name]
    place[int(last) if last.isdigit() else last] = value
    return changed


@pytest.mark.parametrize(
    ("path", "value", "field"),
    [
        ("first_day", "2031-02-30", "first_day"),
        ("first_day", "28.3.2031", "first_day"),
        ("last_day", "9999-12-31", "last_day"),
        ("disciplines.0.comfortable_on", "0202-05-01", "disciplines[0].comfortable_on"),
        ("last_day", day(-1), "last_day"),
        ("last_day", day(401), "last_day"),
        ("days_on", 2.5, "days_on"),
        ("days_on", True, "days_on"),
        ("days_on", "2", "days_on"),
        ("block_days", 10**400, "block_days"),
        ("closed_days", ["soon"], "closed_days[0]"),
        ("site.bottom_m", -20, "site.bottom_m"),
        ("site.bottom_m", 5000, "site.bottom_m"),
        ("site.bottom_m", float("nan"), "site.bottom_m"),
        ("site.bottom_m", float("inf"), "site.bottom_m"),
        ("site.water", "beer", "site.water"),
        ("disciplines", [], "disciplines"),
        ("disciplines.0.discipline", "XYZ", "disciplines[0].discipline"),
        ("disciplines.0.best_m", 5000, "disciplines[0].best_m"),
        ("disciplines.0.step_m", 0, "disciplines[0].step_m"),
        ("disciplines.0.repeats", 0, "disciplines[0].repeats"),
        ("disciplines.0.start_m", None, "disciplines[0].comfortable_m"),
        ("disciplines.0.comfortable_on", day(1), "disciplines[0].comfortable_on"),
        ("disciplines.0.goals.aim_m", 41, "disciplines[0].goals.aim_m"),
        ("lead", ["CNF"], "lead[0]"),
        ("lead", [], "lead"),
        ("drill.dives", 99, "drill.dives"),
        ("rules", {"lmc.no_deep_days": 2}, "rules.lmc.no_deep_days"),
        ("rules", {"no.such": 2}, "rules.no.such"),
        ("rules", {"spacing": [{"to_m": 60, "min_days": 1, "max_in_a_row": 2}]}, "rules.spacing[0].to_m"),
        ("rules", [], "rules"),
        ("closed_days", "", "closed_days"),
        ("closed_days", {}, "closed_days"),
    ],
)
def test_a_season_with_one_fault_is_refused_at_that_field(path: str, value: object, field: str) -> None:
    assert field in faults(check_season, with_(season(), path, value))


def test_every_fault_of_a_season_is_named_at_once() -> None:
    raw = with_(with_(with_(season(), "days_on", 0), "site.bottom_m", None), "disciplines.0.best_m", "deep")
    assert {"days_on", "site.bottom_m", "disciplines[0].best_m"} == set(faults(check_season, raw))


def test_the_same_discipline_twice_is_refused() -> None:
    raw = season()
    raw["disciplines"].append(raw["disciplines"][0])
    assert faults(check_season, raw) == {"disciplines[1].discipline": "FIM is named twice"}


def test_a_bottom_that_leaves_no_room_for_a_ladder_is_refused() -> None:
    raw = with_(with_(season(), "site.bottom_m", 20), "rules", {"ladder.above_bottom_m": 20})
    assert {"site.bottom_m"} == set(faults(check_season, raw))


@pytest.mark.parametrize("raw", [None, [], "season", 7, {}])
def test_what_is_no_season_at_all_is_refused_in_words(raw: object) -> None:
    assert faults(check_season, raw)


@given(seasons())
def test_any_season_of_the_forms_range_is_taken(raw: dict[str, Any]) -> None:
    check_season(raw, BOOK)


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("date", None), ("date", "yesterday"), ("date", "9999-12-30"), ("date", "0202-05-01"),
        ("at", "25:00"), ("at", "8:5"), ("discipline", "fim"), ("role", "fun"),
        ("target_m", -1), ("target_m", "40"), ("reached_m", None), ("reached_m", 5000), ("reached_m", float("nan")),
        ("reached_m", True), ("dive_s", 0), ("dive_s", 90.5), ("effort", 11), ("effort", -1), ("signs", ["tired"]),
        ("signs", "lmc"), ("note", 5), ("note", "x" * 2001), ("surfaced_at", "2031-04-01 10:00"), ("mood", "fine"),
    ],
)  # fmt: skip
def test_a_dive_with_one_fault_is_refused_at_that_field(field: str, value: object) -> None:
    assert {field} == set(faults(check_dive, {**DIVE, field: value}))


def test_a_dive_is_taken_with_nothing_but_what_it_needs() -> None:
    checked = check_dive(DIVE, BOOK)
    assert {"at": None, "dive_s": None, "effort": None, "signs": [], "note": ""}.items() <= checked.items()


def test_effort_nought_is_an_effort() -> None:
    assert check_dive({**DIVE, "effort": 0}, BOOK)["effort"] == 0


def test_signs_come_out_once_each_in_the_rulebooks_order() -> None:
    assert check_dive({**DIVE, "signs": ["lmc", "ears_slow", "lmc"]}, BOOK)["signs"] == ["ears_slow", "lmc"]


@pytest.mark.parametrize("year", [1900, 2200])
def test_whatever_happened_in_the_first_or_last_year_that_is_taken_can_be_planned(year: int) -> None:
    """No sentence calculates a date after the last one that exists."""
    dive = check_dive({**DIVE, "date": f"{year}-12-31", "signs": ["blackout"]}, BOOK)
    found = plan_of(season(), [{"id": "a", "kind": "dive", **dive}], f"{year}-12-31", BOOK)
    assert found["stand_down"]["needs_clearance"] is True


def test_a_season_that_is_too_long_says_how_long_it_is() -> None:
    says = faults(check_season, with_(season(), "last_day", day(400)))["last_day"]
    assert says == "makes a season of 401 days; the most is 400"
    check_season(with_(season(), "last_day", day(399)), BOOK)


def test_a_clearance_says_who_cleared() -> None:
    assert {"by"} == set(faults(check_clearance, {"clearance": "2031-04-01", "by": "  "}))


def test_a_log_names_the_record_of_each_fault() -> None:
    log = [{"id": "a", **DIVE}, {"id": "b", **DIVE, "effort": 12}, {**DIVE}, {"clearance": "now", "by": "Dr. I."}, 5]
    assert {"[1].effort", "[2].id", "[3].clearance", "[4]"} == set(faults(check_log, log))


def test_two_records_of_one_name_are_refused() -> None:
    assert {"id"} == set(faults(check_log, [{"id": "a", **DIVE}, {"id": "a", **DIVE}]))


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=8,
)


@given(JSON, st.sampled_from(["first_day", "site", "disciplines", "lead", "drill", "rules", "closed_days", "days_on"]))
def test_no_json_whatever_makes_the_check_fall_over(value: Any, field: str) -> None:
    for check, raw in (
        (check_season, {**season(), field: value}),
        (check_log, [value]),
        (check_dive, {**DIVE, "signs": value}),
    ):
        assert all(isinstance(fault.says, str) and fault.says for fault in faults_of(check, raw))


def test_the_faults_of_a_season_and_of_its_changes_are_all_told_at_once_and_none_twice() -> None:
    changes = [
        {"from": day(3), "set": {"days_on": 0}},
        {"from": day(9), "set": {"site": {"name": "x", "bottom_m": "deep"}, "blok_days": 3}, "why": 5},
        {"from": day(2), "set": {"days_off": 2}},
    ]
    raw = {**with_(season(), "disciplines.0.best_m", "deep"), "changes": changes}
    refused = [fault.field for fault in faults_of(check_season, raw)]

    assert sorted(refused) == sorted(
        [
            "disciplines[0].best_m", "changes[0].set.days_on", "changes[1].set.site.bottom_m",
            "changes[1].set.blok_days", "changes[1].why", "changes[2].from",
        ]
    )  # fmt: skip


def test_a_start_far_beyond_the_best_is_cut_in_a_season_of_the_first_edition_and_refused_in_a_newer_one() -> None:
    raw = with_(season(), "disciplines.0.start_m", 49)
    raw["disciplines"][0]["best_m"] = 41
    assert faults_of(check_season, raw)[0].field == "disciplines[0].start_m"
    assert check_season({**raw, "book": 1}, BOOK).levels[0].start_m == 46


@pytest.mark.parametrize("path", [("rules",), ("site",), ("diver",), ()])
def test_a_field_named_by_half_a_character_is_named_in_text_that_can_be_sent(path: tuple[str, ...]) -> None:
    raw: dict[str, Any] = {"diver": {}, "rules": {}, **deepcopy(season())}
    (raw[path[0]] if path else raw)["\ud800"] = 1

    assert ".".join((*path, r"\ud800")) in faults(check_season, raw)
