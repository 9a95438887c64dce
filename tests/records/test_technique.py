"""The strict check of a focus, of how a drill went against it, and of what was measured on a clip."""

from __future__ import annotations

from typing import Any

import pytest

from webapp.protocol.kinds import KINDS, check_record
from webapp.records.dive import check_dive
from webapp.rulebook.faults import Refused
from webapp.rulebook_file import read_rulebook

BOOK = read_rulebook()
FOCUS = {"from": "2031-04-01", "discipline": "CWT", "says": "soft knees"}
MEASURE = {
    "date": "2031-04-01", "dive": "d1", "discipline": "CWT", "style": "kick", "clip_s": 5.2, "fps": 60,
    "smoothing_hz": 6, "figures": {"kick_hz": {"value": 0.8123456, "error": 0.01}, "knee_flexion_most": {"value": 41}},
}  # fmt: skip
DRILL = {"date": "2031-04-01", "discipline": "CWT", "role": "drill", "target_m": 15, "reached_m": 15}


def faults(kind: str, raw: object) -> set[str]:
    with pytest.raises(Refused) as refused:
        check_record(kind, raw, BOOK)
    return {fault.field for fault in refused.value.faults}


def test_a_focus_is_in_own_words_or_a_cue_and_names_its_discipline_and_first_day() -> None:
    assert check_record("focus", FOCUS, BOOK) == FOCUS | {"cue": None, "set_by": "", "note": "", "logged_at": None}
    by_cue = {"from": "2031-04-01", "discipline": "FIM", "cue": "pull_length"}
    assert check_record("focus", by_cue, BOOK)["cue"] == "pull_length"
    assert faults("focus", {"says": " "}) == {"from", "discipline", "says"}
    assert faults("focus", FOCUS | {"cue": "magic", "note": 3}) == {"cue", "note"}
    more = {"set_by": "Runa Falk", "note": "seen on 3 clips", "logged_at": "2031-04-01T08:00:00Z"}
    assert check_record("focus", FOCUS | more, BOOK) == FOCUS | more | {"cue": None}
    wrong = {"says": "a" * 201, "set_by": "b" * 201, "note": "c" * 2001, "logged_at": "in the morning"}
    assert faults("focus", FOCUS | wrong) == set(wrong)


def test_every_cue_is_for_a_known_discipline_and_each_discipline_has_some() -> None:
    assert {name for cue in BOOK.texts["cue"].values() for name in cue["for"]} == {"CWT", "CWTB", "CNF", "FIM", "VWT"}


def test_a_drill_keeps_its_focus_how_it_went_and_who_filmed_it() -> None:
    more = {"focus": "f1", "focus_rate": "there", "filmed_by": "Ilka Moor"}
    assert {name: check_dive(DRILL | more, BOOK)[name] for name in more} == more
    assert faults("dive", DRILL | {"focus_rate": "great", "filmed_by": 1}) == {"focus_rate", "filmed_by"}


def test_what_was_measured_is_kept_as_figures_with_their_uncertainty_and_no_picture() -> None:
    found: dict[str, Any] = check_record("measure", MEASURE, BOOK)
    assert found["figures"] == {
        "kick_hz": {"value": 0.8123, "error": 0.01}, "knee_flexion_most": {"value": 41.0, "error": None},
    }  # fmt: skip
    assert faults("measure", MEASURE | {"frame": "data:image/png;base64,AAAA"}) == {"frame"}
    wrong = {"kick_hz": {"value": "fast"}, "elegance": {"value": 1}, "hip_offset": {"value": 0.1, "error": -1}}
    assert faults("measure", MEASURE | {"figures": wrong}) == {
        "figures.kick_hz.value", "figures.elegance", "figures.hip_offset.error",
    }  # fmt: skip


def test_the_angle_by_phase_of_a_kick_is_kept_in_whole_degrees_and_older_records_have_none() -> None:
    assert "by_phase" not in check_record("measure", MEASURE, BOOK)
    by_phase = {"19": 172, "0": 168.0, "7": 131}
    found = check_record("measure", MEASURE | {"by_phase": by_phase}, BOOK)["by_phase"]
    assert list(found.items()) == [("0", 168), ("7", 131), ("19", 172)]
    assert isinstance(found["0"], int)
    wrong = {"20": 170, "-1": 170, "1": 170.5, "2": 181, "3": None, "4": "straight"}
    assert faults("measure", MEASURE | {"by_phase": wrong}) == {f"by_phase.{at}" for at in wrong}
    assert faults("measure", MEASURE | {"by_phase": [170]}) == {"by_phase"}


def test_every_figure_with_a_published_value_names_its_source() -> None:
    published = [one for figure in BOOK.texts["figure"].values() for one in figure.get("published", [])]
    assert len(published) >= 5
    assert all(one["who"] and one["source"] for one in published)


def test_technique_is_for_the_diver_and_a_coach() -> None:
    assert all(KINDS[kind].shared_with == {"coach"} for kind in ("focus", "measure"))
