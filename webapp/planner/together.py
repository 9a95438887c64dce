"""Rules that are each within their bounds and yet cannot be calculated together: which, and what to do about it."""

from __future__ import annotations

from typing import Any

from ..records.model import Season
from ..rulebook.faults import Fault, Refused
from ..rulebook.rulebook import Rulebook
from ..water.errors import OutOfRange
from .cards import Speeds
from .sheet import compile_sheet

PACES = {"swim_m_s": "swimming down", "fall_m_s": "the free fall", "ascent_m_s": "the ascent"}
ANYTHING_ELSE = (ArithmeticError, LookupError, TypeError, ValueError, AssertionError)


def sheet_of(season: Season, book: Rulebook, speeds: Speeds | None = None) -> dict[str, Any]:
    """Return the ladder sheet, or raise Refused with what cannot be calculated together.

    Speeds from the log that do not go with the season's rules are left aside: the book's count, as without a log.
    """
    if speeds:
        try:
            return compile_sheet(season, book, speeds)
        except OutOfRange:
            pass
    try:
        return compile_sheet(season, book)
    except OutOfRange as error:
        raise Refused([_fault(error)]) from error
    except ANYTHING_ELSE as error:
        says = "cannot be calculated together: set them back to the rulebook's values, one after the other"
        raise Refused([Fault("rules", says)]) from error


def _fault(error: OutOfRange) -> Fault:
    if error.field not in PACES:
        return Fault("rules", f"cannot be calculated together: {error.field} {error.says}")
    return Fault(
        f"rules.pace.{error.field}",
        f"does not go with the other speeds: once a dive is scaled to the mean speed of its discipline, "
        f"{PACES[error.field]} {error.says}. Bring the speeds of swimming, free fall and ascent closer together, or "
        "closer to the mean speeds",
    )
