"""The strict checks of a crew's records, of a coach's proposals, and of who logged a dive."""

from __future__ import annotations

from typing import Any

import pytest

from webapp.protocol.kinds import CREW, KINDS, LOG, check_record, of_feed
from webapp.protocol.log import check_log
from webapp.records.dive import check_dive
from webapp.rulebook.faults import Refused
from webapp.rulebook_file import read_rulebook

BOOK = read_rulebook()
DAY = "2031-04-01"
RUNA, ODD = "11111111-1111-4111-8111-111111111111", "22222222-2222-4222-8222-222222222222"
WHOLE: dict[str, dict[str, Any]] = {
    "crew_day": {
        "date": DAY, "starts_at": "09:30", "line_most_m": 60.5, "line_keeper": RUNA, "boat": ODD, "clock": None,
        "site": "Skarn Wall", "note": "swell",
    },
    "guest": {"name": "Ebba", "may_meet_m": 20, "note": ""},
    "aboard": {
        "date": DAY, "person": RUNA, "name": "Runa", "guest": False, "ready": True, "may_meet_m": None,
        "late_until": "10:15", "over": False,
    },
    "turn": {
        "date": DAY, "person": RUNA, "discipline": "CWT", "role": "deep", "depth_m": 52.5, "dive_s": 130,
        "pause_s": 600, "fixed_at": "11:00", "pinned": 3, "safety": [ODD], "began_at": "2031-04-01T09:00:00Z",
        "ended_at": "2031-04-01T09:02:10Z", "result": "turned", "reached_m": 48, "dive": ODD,
    },
}  # fmt: skip
LEAST = {
    "crew_day": {"date": DAY}, "guest": {"name": "Ebba"}, "aboard": {"date": DAY, "person": RUNA, "name": "Runa"},
    "turn": {"date": DAY, "person": RUNA, "discipline": "CWT", "role": "deep", "depth_m": 40},
}  # fmt: skip
CAP: dict[str, Any] = {
    "date": DAY, "to": "2031-04-03", "what": "cap", "discipline": "CWT", "depth_m": 45, "says": "after the long week",
    "setting": None, "value": None, "dive": None, "by": "Odd", "answer": None, "answered_at": None,
    "logged_at": "2031-03-31T18:00:00Z",
}  # fmt: skip


def faults(kind: str, raw: object) -> dict[str, str]:
    with pytest.raises(Refused) as refused:
        check_record(kind, raw, BOOK)
    return {fault.field: fault.says for fault in refused.value.faults}


@pytest.mark.parametrize("kind", WHOLE)
def test_a_record_of_a_crew_is_taken_as_it_is_and_what_is_not_said_is_nothing(kind: str) -> None:
    assert check_record(kind, WHOLE[kind], BOOK) == WHOLE[kind]
    least = check_record(kind, LEAST[kind], BOOK)
    assert set(least) == set(KINDS[kind].fields) == set(WHOLE[kind])
    assert not any(value for name, value in least.items() if name not in LEAST[kind])


@pytest.mark.parametrize("kind", WHOLE)
def test_every_fault_of_a_record_of_a_crew_is_named_at_once(kind: str) -> None:
    wrong = {name: {"not": "this"} for name in KINDS[kind].fields}
    assert set(faults(kind, wrong | {"rank": 1})) == {*KINDS[kind].fields, "rank"}
    assert set(faults(kind, {})) == set(LEAST[kind])


@pytest.mark.parametrize(
    ("name", "bad"),
    [
        ("pinned", 0), ("pinned", 1.5), ("pause_s", -1), ("pause_s", 90000), ("safety", [ODD] * 9),
        ("safety", "Odd"), ("person", "__proto__"), ("result", "won"), ("depth_m", 500), ("fixed_at", "25:00"),
    ],
)  # fmt: skip
def test_a_dive_of_the_list_that_cannot_be_is_refused(name: str, bad: Any) -> None:
    assert [field.split("[")[0] for field in faults("turn", WHOLE["turn"] | {name: bad})] == [name]


def test_a_dive_of_the_list_does_not_end_before_it_began() -> None:
    late = WHOLE["turn"] | {"began_at": "2031-04-01T09:03:00Z"}
    assert faults("turn", late) == {"ended_at": "is before the dive began"}


def test_a_safety_diver_is_named_once() -> None:
    assert check_record("turn", WHOLE["turn"] | {"safety": [ODD, RUNA, ODD]}, BOOK)["safety"] == [ODD, RUNA]


@pytest.mark.parametrize("kind", ["guest", "aboard"])
def test_whoever_is_on_a_boat_has_a_name(kind: str) -> None:
    assert faults(kind, LEAST[kind] | {"name": " "}) == {"name": "is missing"}


def test_a_proposal_is_taken_as_it_is() -> None:
    assert check_record("proposal", CAP, BOOK) == CAP
    easy = check_record("proposal", {"date": DAY, "what": "easy"}, BOOK)
    assert set(easy) == set(KINDS["proposal"].fields) - {"by_person"}  # older ones do not have it
    assert check_record("proposal", CAP | {"by_person": ODD}, BOOK)["by_person"] == ODD


@pytest.mark.parametrize(
    ("what", "missing"),
    [
        ("cap", {"depth_m"}), ("easy", set()), ("focus", {"discipline", "says"}), ("setting", {"setting", "value"}),
        ("comment", {"dive", "says"}),
    ],
)  # fmt: skip
def test_a_proposal_says_what_it_makes_no_sense_without(what: str, missing: set[str]) -> None:
    plain = {"date": DAY, "what": what, "says": " "}
    assert (set(faults("proposal", plain)) if missing else set()) == missing


def test_a_proposed_setting_is_a_number_of_the_rulebook_within_its_bounds() -> None:
    entry = next(one for one in BOOK.entries if one.columns is None and one.max is not None)
    setting = {"date": DAY, "what": "setting", "setting": entry.name, "value": entry.max}
    assert check_record("proposal", setting, BOOK)["value"] == entry.max
    assert set(faults("proposal", setting | {"value": (entry.max or 0) + 1})) == {"value"}
    assert set(faults("proposal", setting | {"setting": "no.such"})) == {"setting"}


def test_a_proposal_does_not_end_before_its_first_day_and_is_answered_in_one_of_two_ways() -> None:
    assert faults("proposal", CAP | {"to": "2031-03-31"}) == {"to": "is before the first day"}
    assert set(faults("proposal", CAP | {"answer": "later", "answered_at": "today"})) == {"answer", "answered_at"}


def test_a_dive_says_who_logged_it_and_whether_its_diver_has_looked_at_it() -> None:
    dive = {"date": DAY, "discipline": "CWT", "role": "deep", "target_m": 40, "reached_m": 40}
    assert not {"logged_by", "confirmed"} & set(check_dive(dive, BOOK))
    by = check_dive(dive | {"logged_by": "Odd", "confirmed": True}, BOOK)
    assert (by["logged_by"], by["confirmed"]) == ("Odd", True)
    with pytest.raises(Refused) as refused:
        check_dive(dive | {"logged_by": 3, "confirmed": "yes"}, BOOK)
    assert {fault.field for fault in refused.value.faults} == {"logged_by", "confirmed"}


def test_each_kind_belongs_into_logs_or_to_crews_and_a_log_file_has_none_of_a_crew() -> None:
    of_crews = {*WHOLE, "crew_site"}
    assert set(of_feed(CREW)) == of_crews
    assert set(of_feed(LOG)) == set(KINDS) - of_crews
    with pytest.raises(Refused):
        check_log([{"id": "g1", "kind": "guest", "name": "Ebba"}], BOOK)
