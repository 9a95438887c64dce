"""Files that other programs read: RFC 4180 tables without formulas, RFC 5545 calendars without reasons."""

import csv
import io
from typing import Any

import pytest

from webapp.formats.csv import table
from webapp.formats.icalendar import LINE_OCTETS, calendar


def read(text: str) -> list[list[str]]:
    return list(csv.reader(io.StringIO(text, newline="")))


def test_a_table_has_a_head_ends_lines_with_crlf_and_quotes_what_needs_it() -> None:
    text = table(("id", "note"), [{"id": "a", "note": 'cold, "dark"\nbut fine'}, {"id": "b", "note": None}])

    assert text == 'id,note\r\na,"cold, ""dark""\nbut fine"\r\nb,\r\n'
    assert read(text) == [["id", "note"], ["a", 'cold, "dark"\nbut fine'], ["b", ""]]


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r", "\n", "＝"])
def test_a_text_that_a_table_program_takes_for_a_formula_is_made_plain(start: str) -> None:
    (cell,) = read(table(("note",), [{"note": f"{start}HYPERLINK(1)"}]))[1]

    assert cell == f"'{start}HYPERLINK(1)"


UNSEEN = (" ", "   ", "\u00a0", "\u200b", "\ufeff ", "\u2060", "\u00ad", '"', "'")


@pytest.mark.parametrize("unseen", UNSEEN, ids=ascii)
def test_what_is_not_seen_before_a_formula_does_not_hide_it(unseen: str) -> None:
    (cell,) = read(table(("note",), [{"note": f"{unseen}=HYPERLINK(1)"}]))[1]
    assert cell == f"'{unseen}=HYPERLINK(1)"


@pytest.mark.parametrize("note", ["calm;=HYPERLINK(1)", "calm; =HYPERLINK(1)", "a;b;@SUM(1)", ";=1"])
def test_no_cell_is_a_formula_where_a_semicolon_parts_the_cells(note: str) -> None:
    text = table(("note",), [{"note": note}])
    cells = [cell for line in text.splitlines() for cell in line.split(";")]
    assert not [cell for cell in cells if cell.lstrip("\"' ").startswith(("=", "@")) and not cell.startswith("'")]


@pytest.mark.parametrize("note", ["easy - calm", "5+5 m", "ears; fine", "mail a@b.example", "it's = fine", ""])
def test_plain_notes_stay_as_they_were_written(note: str) -> None:
    assert read(table(("id", "note"), [{"id": "a", "note": note}]))[1] == ["a", note]


def test_numbers_stay_numbers_and_lists_become_words() -> None:
    assert read(table(("depth_m", "signs"), [{"depth_m": 38.5, "signs": ["lmc", "cough"]}]))[1] == ["38.5", "lmc cough"]


def plan(**changes: Any) -> dict[str, Any]:
    dive = {"discipline": "FIM", "role": "deep", "target_m": 40}
    day = {"date": "2031-04-30", "kind": "deep", "why": "a secret reason", "dives": [dive]}
    return {"days": [{**day, **changes}]}


def lines(text: str) -> list[str]:
    """Unfold a calendar."""
    assert text.endswith("\r\n")
    assert all(len(line.encode()) <= LINE_OCTETS for line in text.split("\r\n"))
    return text.replace("\r\n ", "").split("\r\n")[:-1]


def test_a_dive_day_is_a_whole_day_with_its_own_name_for_good() -> None:
    found = lines(calendar(plan(), "Spring", 7, "2031-04-01T08:00:00Z", ["Check with the diver."]))

    assert found[:2] == ["BEGIN:VCALENDAR", "VERSION:2.0"]
    assert found[-1] == "END:VCALENDAR"
    assert {
        "UID:2031-04-30-season-7@lineslate", "DTSTAMP:20310401T080000Z", "DTSTART;VALUE=DATE:20310430",
        "DTEND;VALUE=DATE:20310501", "SUMMARY:Deep day: FIM 40 m",
        "DESCRIPTION:FIM 40 m\\, deep\\nCheck with the diver.",
    } <= set(found)  # fmt: skip


@pytest.mark.parametrize("kind", ["stand-down", "rest", "break", "closed"])
def test_no_calendar_tells_of_a_day_without_dives_or_why_it_has_none(kind: str) -> None:
    text = calendar(plan(kind=kind), "Spring", 7, "2031-04-01T08:00:00Z", [])

    assert "VEVENT" not in text
    assert "secret" not in calendar(plan(), "Spring", 7, "2031-04-01T08:00:00Z", [])


def test_a_name_cannot_break_out_of_its_line_and_long_lines_are_folded_between_letters() -> None:
    name = "Frühling; am, Fels\\ \r\nATTACH:http://elsewhere.example/\x00" + "ü" * 90
    found = lines(calendar(plan(), name, 7, "2031-04-01T08:00:00Z", []))

    said = "X-WR-CALNAME:Frühling\\; am\\, Fels\\\\ \\nATTACH:http://elsewhere.example/" + "ü" * 90
    assert said in found
    assert not any(line.startswith("ATTACH") for line in found)


def test_a_calendar_says_what_a_drill_is_for_and_what_a_target_means() -> None:
    dives = [
        {"discipline": "FIM", "target_m": 46, "role": "deep", "best_says": "deeper than your best of 44 m",
         "reaches": "reaches 46 m (aim)"},
        {"discipline": "CNF", "target_m": 18, "role": "drill", "focus": "long glide"},
    ]  # fmt: skip
    plan = {"days": [{"date": "2031-04-01", "kind": "deep", "dives": dives}]}
    text = calendar(plan, "Spring", 7, "2031-04-01T08:00:00Z", []).replace("\r\n ", "")

    assert "FIM 46 m\\, deep: deeper than your best of 44 m\\, reaches 46 m (aim)" in text
    assert "CNF 18 m\\, drill: long glide" in text
