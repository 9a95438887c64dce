"""Typed strings become plain values, and nothing typed is bent on the way."""

import pytest

from webapp.web.filters import begin, day, device_moment, minutes, moment, plain
from webapp.web.forms import typed
from webapp.web.forms.faults import sentence


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("", None),
        ("  ", None),
        (None, None),
        ("0", 0),
        ("40", 40),
        ("40.0", 40),
        ("5.7", 5.7),
        ("5,7", 5.7),
        (" -3 ", -3),
        ("4o", "4o"),
        ("1_000", "1_000"),
        ("1,000.5", "1,000.5"),
        ("nan", "nan"),
        ("inf", "inf"),
        ("true", "true"),
        ("1e3", "1e3"),
    ],
)
def test_a_typed_number_is_read_as_written_or_left_for_the_check_to_name(text: str | None, value: object) -> None:
    read = typed.number(text)

    assert (value, type(value)) == (read, type(read))


def test_closed_days_may_stand_on_lines_or_behind_commas() -> None:
    assert typed.days("2027-05-12,\n 2027-05-13 ; soon\n") == ["2027-05-12", "2027-05-13", "soon"]


STRETCH = ["2027-05-30", "2027-05-31", "2027-06-01"]


@pytest.mark.parametrize("between", [" to ", " - ", "-", "–", " until ", ".."])
def test_closed_days_may_be_a_stretch_and_are_shown_as_one_again(between: str) -> None:
    assert typed.days(f"2027-05-12\n2027-05-30{between}2027-06-01") == ["2027-05-12", *STRETCH]
    assert typed.show_days(["2027-05-12", "2027-05-13", *STRETCH]) == "2027-05-12\n2027-05-13\n2027-05-30 to 2027-06-01"


def test_a_date_with_dots_has_the_day_first_and_no_other_date_is_guessed() -> None:
    assert typed.days("30.5.2027 to 01.06.2027") == STRETCH
    assert typed.days("05/06/2027") == ["05/06/2027"]


@pytest.mark.parametrize(
    "text", ["2027-05-14 to 2027-05-12", "2027-02-30 to 2027-03-02", "2027-05-12 to 9027-05-12", "31.2.2027"]
)
def test_a_stretch_that_cannot_be_meant_is_left_for_the_check_to_name(text: str) -> None:
    assert {"to", "2027-02-31"} & set(typed.days(text))


@pytest.mark.parametrize("value", [None, 0, 40, 40.0, 5.75, -1.5])
def test_what_is_shown_is_read_back_as_the_same_value(value: float | None) -> None:
    assert value == typed.number(typed.show(value))


def test_digging_where_nothing_is_gives_nothing() -> None:
    assert typed.dig({"drill": None}, "drill.depth_m") is None


def test_a_fault_is_a_finished_sentence() -> None:
    assert sentence("Best", "is missing") == "Best is missing."
    assert sentence("", "is missing") == "Is missing."


def test_days_moments_and_times_are_written_for_people() -> None:
    assert day("2027-05-10") == "Mon 10 May 2027"
    assert moment("2027-05-10T09:30:00Z") == "Mon 10 May 2027, 09:30 UTC"
    assert device_moment("2027-05-10T09:30:00.123Z") == "Mon 10 May 2027, 09:30 UTC"
    assert device_moment("2027-99-10T09:30:00Z") == "2027-99-10T09:30:00Z"
    assert minutes(84.2) == "1:24"
    assert minutes(119.9) == "2:00"
    assert [plain(40.0), plain(72.5), plain(None)] == ["40", "72.5", "–"]
    assert begin("second clean dive.") == "Second clean dive"
