"""Conditions and gear: what a day had, and a dive of it where that differed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ..rulebook.checks import Faults
from ..rulebook.rulebook import Rulebook

CONDITIONS = {
    "current": "Current",
    "waves": "Waves",
    "visibility_m": "Visibility",
    "thermocline_m": "Thermocline at",
    "surface_c": "Water at the surface",
    "bottom_c": "Water at depth",
    "suit": "Suit",
    "lead_kg": "Lead on the belt",
    "neck_kg": "Lead at the neck",
    "fins": "Fins or foot gear",
}
CODES = ("current", "waves")
TEXTS = ("suit", "fins")
LIMITS = {
    "visibility_m": "visibility_m", "thermocline_m": "depth_m", "surface_c": "temperature_c",
    "bottom_c": "temperature_c", "lead_kg": "lead_kg", "neck_kg": "lead_kg",
}  # fmt: skip


def check_conditions(plain: Mapping[str, Any], book: Rulebook, faults: Faults) -> dict[str, Any]:
    """Return the conditions and gear that were given; records from before them have none and go on without."""
    found: dict[str, Any] = {}
    for name in CODES:
        if name in plain:
            found[name] = None if plain[name] is None else faults.choice(plain[name], name, tuple(book.texts[name]))
    for name in TEXTS:
        if name in plain:
            found[name] = faults.text(plain[name], name, book.limit("text")[1])
    for name, limit in LIMITS.items():
        if name in plain:
            found[name] = faults.optional(plain[name], name, *book.limit(limit))
    return found
