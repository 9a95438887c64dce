"""The strict check of what a diver filled in about body, suit and lungs: all of it may be left out."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ..rulebook.checks import Faults, show
from ..rulebook.rulebook import Rulebook
from .model import Diver

SEXES = ("man", "woman")
# field: the rulebook's limit for it
NUMBERS = {
    "height_cm": "height_cm", "age_years": "age_years", "total_l": "lung_l", "residual_l": "lung_l",
    "relaxed_l": "lung_l", "packing_l": "packing_l", "body_kg": "body_kg", "body_density": "body_density",
    "suit_l": "suit_l", "suit_kg": "suit_kg", "lead_kg": "lead_kg",
}  # fmt: skip
FIELDS = ("sex", *NUMBERS, "mouthfill", "alarms_m")


def check_diver(raw: object, book: Rulebook, faults: Faults) -> Diver:
    """Return what the diver filled in; note every fault with its field `diver.…`."""
    plain = faults.group({} if raw is None else raw, "diver", FIELDS)
    values: dict[str, Any] = {
        name: faults.optional(plain.get(name), f"diver.{name}", *book.limit(limit)) for name, limit in NUMBERS.items()
    }
    sex = plain.get("sex")
    values["sex"] = None if sex is None else faults.choice(sex, "diver.sex", SEXES)
    values["mouthfill"] = False if plain.get("mouthfill") is None else plain["mouthfill"]
    if not isinstance(values["mouthfill"], bool):
        faults.add("diver.mouthfill", "must be yes or no")
    values["alarms_m"] = _alarms(plain, book, faults)
    _check_lungs(plain, values, book, faults)
    return Diver(**values)


def _alarms(plain: Mapping[str, Any], book: Rulebook, faults: Faults) -> tuple[float, ...]:
    raw, most = plain.get("alarms_m"), book.limit("alarms")[1]
    if raw is None:
        return ()
    if not isinstance(raw, list) or len(raw) > most:
        faults.add("diver.alarms_m", f"must be a list of at most {most} depths")
        return ()
    limit = book.limit("depth_m")
    depths = [faults.number(depth, f"diver.alarms_m[{index}]", *limit) for index, depth in enumerate(raw)]
    return tuple(sorted(depth for depth in depths if depth is not None))


def _check_lungs(plain: Mapping[str, Any], values: Mapping[str, Any], book: Rulebook, faults: Faults) -> None:
    """Note volumes out of order, or one without the other; a volume out of range has its own fault already."""
    for name, other in (("residual_l", "total_l"), ("total_l", "residual_l")):
        if plain.get(name) is None and plain.get(other) is not None:
            faults.add(f"diver.{name}", "is missing: both, or neither")
    residual_l, total_l = values["residual_l"], values["total_l"]
    order = [value for value in (residual_l, values["relaxed_l"], total_l) if value is not None]
    if order != sorted(set(order)):
        faults.add("diver.total_l", "must be more than the exhaled volume, and that more than the residual volume")
    most_l = book.limit("lung_l")[1]
    if (total_l or 0) + (values["packing_l"] or 0) > most_l:
        faults.add("diver.packing_l", f"is too much: total capacity and packing together are at most {show(most_l)} L")
