"""The strict check of the review of a block."""

from __future__ import annotations

import pytest

from webapp.protocol.kinds import KINDS, check_record
from webapp.rulebook.faults import Refused
from webapp.rulebook_file import read_rulebook

BOOK = read_rulebook()
REVIEW = {"date": "2031-04-20", "well": "calm turns", "change": "start the mouthfill later"}


def faults(raw: object) -> set[str]:
    with pytest.raises(Refused) as refused:
        check_record("review", raw, BOOK)
    return {fault.field for fault in refused.value.faults}


def test_a_review_is_what_went_well_and_what_to_change_on_the_last_day_of_a_block() -> None:
    assert check_record("review", REVIEW, BOOK) == REVIEW
    assert check_record("review", {"date": "2031-04-20"}, BOOK) == {"date": "2031-04-20", "well": "", "change": ""}


def test_every_fault_of_a_review_is_named_at_once() -> None:
    assert faults({"well": "a" * 2001, "change": 3, "block": 1}) == {"date", "well", "change", "block"}


def test_a_review_belongs_to_its_day_is_in_the_export_and_is_for_the_diver_and_a_coach() -> None:
    kind = KINDS["review"]
    assert (kind.day_of(REVIEW), kind.file, kind.shared_with) == ("2031-04-20", "reviews.csv", {"coach"})
