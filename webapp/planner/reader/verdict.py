"""The verdict on one logged dive: the worst sign names it, and every sign's consequence applies."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Verdict:
    """The verdict's name, what to do now, and each verdict that its signs bring with its days, the mildest first."""

    name: str
    care: tuple[str, ...]
    events: tuple[tuple[str, int], ...]


CLEAN = Verdict("clean", (), ())


def judge(sheet: Mapping[str, Any], dive: Mapping[str, Any]) -> Verdict:
    """Return the verdict on one dive: the worst of its signs, its effort, and whether it reached its target."""
    numbers, verdicts, effort = sheet["numbers"], sheet["verdicts"], dive["effort"]
    is_hard = effort is not None and effort >= numbers["hard_effort"]
    is_turned = dive["target_m"] is not None and dive["reached_m"] < dive["target_m"] - numbers["tolerance_m"]
    if not (dive["signs"] or is_hard or is_turned):  # most dives of a log
        return CLEAN
    days, keys = {"clean": 0}, {}
    if is_hard:
        days["hard"] = 0
    if is_turned:
        days["turned"] = 0
    for code in dive["signs"]:
        sign = sheet["signs"][code]
        days[sign["verdict"]] = max(days.get(sign["verdict"], 0), sign["days"])
        keys.update(dict.fromkeys(sign["care"]))
    events = sorted(days.items(), key=lambda event: verdicts[event[0]]["rank"])
    care = [sentence for key in keys for sentence in sheet["care"][key]]
    return Verdict(events[-1][0], tuple(care), tuple(events))


def is_outside(sheet: Mapping[str, Any], dive: Mapping[str, Any]) -> bool:
    """Tell whether a dive was turned for a reason outside the diver, which does not count towards stepping down."""
    why = sheet["turned_whys"].get(dive.get("turned_why") or "")
    return bool(why and why["outside"])
