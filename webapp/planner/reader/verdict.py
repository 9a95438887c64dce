"""The verdict on one logged dive: the worst sign decides."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Verdict:
    """The verdict's name, the fewest days of its stand-down, and what to do now."""

    name: str
    days: int
    care: tuple[str, ...]


CLEAN = Verdict("clean", 0, ())


def judge(sheet: Mapping[str, Any], dive: Mapping[str, Any]) -> Verdict:
    """Return the verdict on one dive: the worst of its signs, its effort, and whether it reached its target."""
    numbers, verdicts, effort = sheet["numbers"], sheet["verdicts"], dive["effort"]
    signs = [sheet["signs"][code] for code in dive["signs"]]
    found = ["clean", *[sign["verdict"] for sign in signs]]
    if effort is not None and effort >= numbers["hard_effort"]:
        found.append("hard")
    if dive["target_m"] is not None and dive["reached_m"] < dive["target_m"] - numbers["tolerance_m"]:
        found.append("turned")
    if len(found) == 1:  # most dives of a log
        return CLEAN
    name = max(found, key=lambda verdict: verdicts[verdict]["rank"])
    keys = dict.fromkeys(key for sign in signs for key in sign["care"])
    care = tuple(sentence for key in keys for sentence in sheet["care"][key])
    return Verdict(name, max([0, *[sign["days"] for sign in signs]]), care)
