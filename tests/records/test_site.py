"""The strict check of a dive site: every fault at once, and what is typed stays as it was typed."""

from __future__ import annotations

from typing import Any

import pytest

from webapp.protocol.kinds import KINDS, check_record, day_of
from webapp.records.site import SITE_FIELDS, check_site
from webapp.rulebook.faults import Refused
from webapp.rulebook_file import read_rulebook

BOOK = read_rulebook()
WHOLE: dict[str, Any] = {
    "name": "Skarn Wall", "latitude": 58.205758, "longitude": -10.5, "bottom_m": 55, "water": "salt",
    "temperature_c": 14, "altitude_m": 0, "salinity": 34.5, "emergency_phone": "112", "radio_channel": "VHF 16",
    "hospital": "Brae Hospital", "hospital_phone": "+00 (0)5550 100-20", "chamber": "Odd Bay Chamber",
    "chamber_phone": "0555 0199", "oxygen_where": "under the bench", "oxygen_by": "Ilka", "boat_driver": "Odd",
    "meeting_point": "the north quay", "language": "Norsk", "note": "the road is closed at night",
}  # fmt: skip


def faults(raw: object) -> dict[str, str]:
    with pytest.raises(Refused) as refused:
        check_site(raw, BOOK)
    return {fault.field: fault.says for fault in refused.value.faults}


def test_a_whole_site_is_taken_as_it_was_typed_and_needs_nothing_but_its_name() -> None:
    assert check_site(WHOLE, BOOK) == WHOLE
    assert set(WHOLE) == set(SITE_FIELDS)
    assert check_site({"name": "Skarn Wall"}, BOOK) == {"name": "Skarn Wall"}


def test_a_position_keeps_its_digits_because_two_decimals_are_a_kilometre() -> None:
    site = check_site({"name": "x", "latitude": 43.20575, "longitude": 16.1234567}, BOOK)
    assert (site["latitude"], site["longitude"]) == (43.20575, 16.123457)


def test_every_fault_of_a_site_is_named_at_once() -> None:
    wrong = {
        "name": " ", "latitude": 91, "longitude": "16 E", "bottom_m": 2, "water": "mud", "temperature_c": 60,
        "altitude_m": "high", "salinity": -1, "emergency_phone": "call 112", "hospital_phone": 112,
        "chamber_phone": "0555 / 0199", "radio_channel": 16, "hospital": "x" * 201, "chamber": [], "oxygen_where": 1,
        "oxygen_by": 2, "boat_driver": 3, "meeting_point": 4, "language": 5, "note": "x" * 2001, "fee": 10,
    }  # fmt: skip
    assert set(faults(wrong)) == set(wrong)
    assert faults({}) == {"name": "is missing"}


@pytest.mark.parametrize("number", ["112", "+47 555 01 99", "(0555) 01-99", "05.55.01.99", ""])
def test_a_phone_number_may_be_written_as_people_write_them(number: str) -> None:
    assert check_site({"name": "x", "emergency_phone": number}, BOOK)["emergency_phone"] == number


@pytest.mark.parametrize(
    "number", ["112 or 108", "1", "++47 555", "47+555", "\u0661\u0661\u0662", "tel:112", "112,113"]
)
def test_what_a_phone_would_dial_wrongly_is_refused(number: str) -> None:
    assert "one phone number" in faults({"name": "x", "emergency_phone": number})["emergency_phone"]


def test_a_site_belongs_to_no_day_and_is_for_buddy_crew_and_coach() -> None:
    assert check_record("site", WHOLE, BOOK) == WHOLE
    assert day_of({"kind": "site", **WHOLE}) == ""
    assert KINDS["site"].about(WHOLE) == ["Skarn Wall"]
    assert KINDS["site"].shared_with == {"buddy", "crew", "coach"}
