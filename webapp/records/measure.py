"""The strict check of what was measured on a clip: the figures only, never a picture."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ..rulebook.checks import Faults
from ..rulebook.dates import check_day
from ..rulebook.rulebook import Rulebook
from .model import DISCIPLINES

STYLES = ("kick", "pull")
MEASURE_FIELDS = {
    "date": "Date",
    "dive": "Dive",
    "discipline": "Discipline",
    "style": "What was measured",
    "clip_s": "Length of the clip",
    "fps": "Frames per second",
    "smoothing_hz": "Smoothing",
    "figures": "Figures",
    "by_phase": "Angle by phase",
    "note": "Note",
}
PHASES = tuple(str(at) for at in range(20))  # parts of one kick or pull, as the phone draws it
STRAIGHT = 180  # degrees of a joint that is not bent
DIGITS = 4  # of a figure: more would promise what no mark on a frame can hold


def check_measure(raw: object, book: Rulebook) -> dict[str, Any]:
    """Return what was measured as plain values (without its id), or raise Refused with every fault.

    `figures` is {code: {value, error}} with the rulebook's codes; `error` is the uncertainty, None where it is unknown.
    `by_phase` is {part of one kick: mean angle of the joint in whole degrees}; parts in which it was not seen are left
    out, and records of before it was kept have none.
    """
    faults = Faults()
    plain = faults.group(raw, "", MEASURE_FIELDS)
    found = {
        "date": check_day(plain.get("date"), "date", book, faults),
        "dive": faults.text(plain.get("dive"), "dive", book.limit("text")[1]),
        "discipline": faults.choice(plain.get("discipline"), "discipline", DISCIPLINES),
        "style": faults.choice(plain.get("style"), "style", STYLES),
        "clip_s": faults.number(plain.get("clip_s"), "clip_s", *book.limit("clip_s")),
        "fps": faults.number(plain.get("fps"), "fps", *book.limit("fps")),
        "smoothing_hz": faults.optional(plain.get("smoothing_hz"), "smoothing_hz", *book.limit("smoothing_hz")),
        "figures": _figures(plain.get("figures"), book, faults),
        "note": faults.text(plain.get("note"), "note", book.limit("note")[1]),
    }
    if "by_phase" in plain:
        found["by_phase"] = _by_phase(plain["by_phase"], faults)
    faults.refuse_if_any()
    return found


def _by_phase(raw: object, faults: Faults) -> dict[str, int]:
    parts = faults.group(raw, "by_phase", PHASES)
    angles = {at: faults.number(one, f"by_phase.{at}", 0, STRAIGHT, whole=True) for at, one in parts.items()}
    return {at: angles[at] for at in PHASES if at in angles}


def _figures(raw: object, book: Rulebook, faults: Faults) -> dict[str, dict[str, float | None]]:
    figures = faults.group(raw, "figures", tuple(book.texts["figure"]))
    return {code: _figure(one, f"figures.{code}", book, faults) for code, one in figures.items()}


def _figure(raw: object, field: str, book: Rulebook, faults: Faults) -> dict[str, float | None]:
    plain: Mapping[str, Any] = faults.group(raw, field, ("value", "error"))
    low, high = book.limit("figure")
    found: dict[str, float | None] = {}
    for name, least in (("value", low), ("error", 0.0)):
        given = plain.get(name)
        if given is None and name == "error":
            found[name] = None
        elif faults.number(given, f"{field}.{name}", least, high) is not None:
            found[name] = round(float(given), DIGITS)  # type: ignore[arg-type]
    return found
