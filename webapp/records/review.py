"""The strict check of what a diver writes at the end of a block: what went well, and what to change."""

from __future__ import annotations

from typing import Any

from ..rulebook.checks import Faults
from ..rulebook.dates import check_day
from ..rulebook.rulebook import Rulebook

REVIEW_FIELDS = {"date": "Last day of the block", "well": "What went well", "change": "What to change"}


def check_review(raw: object, book: Rulebook) -> dict[str, Any]:
    """Return a review of a block as plain values (without its id), or raise Refused with every fault."""
    faults = Faults()
    plain = faults.group(raw, "", REVIEW_FIELDS)
    review = {
        "date": check_day(plain.get("date"), "date", book, faults),
        "well": faults.text(plain.get("well"), "well", book.limit("note")[1]),
        "change": faults.text(plain.get("change"), "change", book.limit("note")[1]),
    }
    faults.refuse_if_any()
    return review
