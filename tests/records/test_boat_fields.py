"""The strict check of what the boat adds to a day and a dive: readiness, the check at the line, conditions and gear."""

from __future__ import annotations

from typing import Any

import pytest

from webapp.protocol.kinds import KINDS
from webapp.records.day import check_boat_day
from webapp.records.dive import check_dive
from webapp.rulebook.faults import Refused
from webapp.rulebook_file import read_rulebook

BOOK = read_rulebook()
DAY = {"date": "2031-04-01"}
DIVE = {"date": "2031-04-01", "discipline": "FIM", "role": "deep", "target_m": 40, "reached_m": 40}
BEFORE = {"date", "to", "no_diving", "hold", "shallower", "main", "taxing", "note"}  # fields of the first day records


def faults(check: Any, raw: object) -> set[str]:
    with pytest.raises(Refused) as refused:
        check(raw, BOOK)
    return {fault.field for fault in refused.value.faults}


def test_a_day_and_a_dive_from_before_these_fields_stay_as_they_were() -> None:
    assert set(check_boat_day(DAY, BOOK)) == BEFORE
    assert not {"safety", "current", "line_m"} & set(check_dive(DIVE, BOOK))


def test_the_morning_of_a_diver_is_taken_as_said() -> None:
    said = {"sleep": 2, "fatigue": 7, "stress": 1, "soreness": 4, "not_ready": ["fever", "congestion", "fever"]}
    day = check_boat_day(DAY | said | {"easy": True, "ate_at": "07:10", "body_note": "day 2"}, BOOK)
    assert day["not_ready"] == ["congestion", "fever"]
    assert (day["fatigue"], day["easy"], day["ate_at"], day["body_note"]) == (7, True, "07:10", "day 2")


def test_every_fault_of_a_morning_is_named_at_once() -> None:
    wrong = {"sleep": 0, "fatigue": 8, "stress": 2.5, "soreness": "low", "not_ready": ["gout"], "easy": "yes"}
    assert faults(check_boat_day, DAY | wrong | {"ate_at": "25:00"}) == {*wrong, "ate_at"}


def test_how_hard_the_whole_day_was_and_its_minutes_are_whole_numbers_that_only_the_diver_sees() -> None:
    said = {"rpe": 0, "minutes": 90}
    assert {name: check_boat_day(DAY | said, BOOK)[name] for name in said} == said
    assert {name: check_boat_day(DAY | dict.fromkeys(said), BOOK)[name] for name in said} == dict.fromkeys(said)
    for wrong in ({"rpe": 11, "minutes": 721}, {"rpe": -1, "minutes": -1}, {"rpe": 6.5, "minutes": "90"}):
        assert faults(check_boat_day, DAY | wrong) == {"rpe", "minutes"}
    assert set(said) <= KINDS["day"].private


def test_a_word_holds_from_its_day_on_for_sixty_days_at_the_most() -> None:
    for last in ("2031-04-01", "2031-05-30"):  # the day alone, and the sixtieth
        assert check_boat_day(DAY | {"to": last}, BOOK)["to"] == last
    for last in ("2031-03-31", "2031-05-31"):
        assert faults(check_boat_day, DAY | {"to": last}) == {"to"}


def test_what_makes_a_day_easier_is_whole_rungs_and_yes_or_no() -> None:
    said = {"hold": True, "taxing": False, "shallower": 3, "main": "CNF", "no_diving": "travel"}
    assert {name: check_boat_day(DAY | said, BOOK)[name] for name in said} == said
    wrong = {"hold": "yes", "taxing": 1, "shallower": 1.5, "main": "XYZ", "no_diving": "hangover"}
    assert faults(check_boat_day, DAY | wrong) == set(wrong)


def test_reasons_and_notes_of_a_day_are_kept_as_typed_and_none_is_endless() -> None:
    said = {"not_easy_why": "slept on the boat", "body_note": "day 2", "saw": "legs too early", "note": "calm"}
    assert {name: check_boat_day(DAY | said, BOOK)[name] for name in said} == said
    assert faults(check_boat_day, DAY | dict.fromkeys(said, "a" * 2001)) == set(said)
    own = [f"item {at}" for at in range(41)]
    assert check_boat_day(DAY | {"own_checks": own[:40]}, BOOK)["own_checks"] == own[:40]
    assert faults(check_boat_day, DAY | {"own_checks": own}) == {"own_checks"}


def test_own_items_of_the_check_stand_once_and_as_typed() -> None:
    day = check_boat_day(DAY | {"checked": ["line", "Torch", "Torch"], "own_checks": ["Torch", ""]}, BOOK)
    assert (day["checked"], day["own_checks"]) == (["line", "Torch"], ["Torch"])
    assert faults(check_boat_day, DAY | {"checked": "line", "own_checks": [3]}) == {"checked", "own_checks[0]"}


@pytest.mark.parametrize(("check", "raw"), [(check_boat_day, DAY), (check_dive, DIVE)], ids=["day", "dive"])
def test_conditions_and_gear_belong_to_a_day_and_to_a_dive(check: Any, raw: dict[str, Any]) -> None:
    given = {
        "current": "light", "waves": "flat", "visibility_m": 20, "thermocline_m": 18, "surface_c": 26, "bottom_c": 19,
        "suit": "two pieces, 3 mm", "lead_kg": 1, "neck_kg": 1.5, "fins": "monofin",
    }  # fmt: skip
    assert {name: check(raw | given, BOOK)[name] for name in given} == given
    wrong = {"current": "fast", "visibility_m": 500, "bottom_c": 60, "neck_kg": -1, "suit": 3}
    assert faults(check, raw | wrong) == set(wrong)


def test_more_about_a_dive_is_taken_when_said() -> None:
    more = {
        "safety": "Ilka", "line_m": 42, "free_fall_m": 18, "down_s": 45, "hang_s": 5, "equalisation": "mouthfill",
        "equalised_m": 38, "recovery": "easy",
    }  # fmt: skip
    assert {name: check_dive(DIVE | more, BOOK)[name] for name in more} == more
    wrong = {"hang_s": 2.5, "equalisation": "magic", "recovery": 3, "line_m": 1, "safety": 5}
    assert faults(check_dive, DIVE | wrong) == set(wrong)


def test_a_way_down_leaves_time_for_the_way_up() -> None:
    whole = {"dive_s": 90, "down_s": 89}
    assert check_dive(DIVE | whole, BOOK)["down_s"] == 89
    assert check_dive(DIVE | whole | {"dive_s": None}, BOOK)["down_s"] == 89
    assert faults(check_dive, DIVE | whole | {"down_s": 90}) == {"down_s"}
