"""What a day says about a dive that was logged on it: the verdict, and what was not as planned."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import ceil, floor
from typing import Any

from .interval import PauseDay
from .sentences import MINUTE_S, fill, seconds_of
from .verdict import Verdict

Json = Mapping[str, Any]


def noted(sheet: Json, dive: Json, verdict: Verdict, flags: Sequence[str]) -> dict[str, Any]:
    """Return a dive as its day lists it: what it was, its verdict, and its flags."""
    words, more = sheet["words"], deeper_m(sheet, dive)
    says, found = sheet["verdicts"][verdict.name]["says"], list(flags)
    is_clean = verdict.name == "clean"
    if is_clean and (more or flags):
        key = "clean_deeper" if more else "clean"
        says = fill(words[key + ("_flagged" if flags else "")], {"more": more})
    if more:
        found.append(fill(words["deeper_counts" if is_clean else "deeper"], {"more": more, "depth": dive["target_m"]}))
    found += [sheet["signs"][code]["today"] for code in dive["signs"] if "today" in sheet["signs"][code]]
    if dive.get("lighter_why"):
        found.append(fill(words["lighter"], {"why": dive["lighter_why"]}))
    kept = {name: dive[name] for name in ("id", "discipline", "role", "target_m", "reached_m")}
    return {**kept, "verdict": verdict.name, "says": says, "flags": found, "care": list(verdict.care)}


def not_allowed(words: Json, forbidden: tuple[str | None, str | None], is_deep: bool) -> list[str]:
    """Return the flag of a dive in a stand-down, or of a deep one in days without; `forbidden` has why of both."""
    stop, early = forbidden
    if stop is not None:
        return [fill(words["in_stand_down"], {"why": stop})]
    return [early] if early is not None and is_deep else []


def deeper_m(sheet: Json, dive: Json) -> float:
    """Return how much deeper than its target a dive was, in tenths of a metre; 0 when it need not be said."""
    if dive["target_m"] is None or dive["reached_m"] < dive["target_m"] + sheet["numbers"]["deeper_m"]:
        return 0
    more: float = floor((dive["reached_m"] - dive["target_m"]) * 10 + 0.5) / 10  # a half goes up, as on the phone
    return more


def over_of(sheet: Json, dive: Json, verdict: Verdict) -> str | None:
    """Return the sentence with which a dive ends its day, None when it does not: the verdict's, else a sign's own."""
    if verdict.name == "clean":
        return None
    own = (sheet["signs"][code].get("over") for code in dive["signs"])
    found: str | None = sheet["verdicts"][verdict.name]["over"] or next((over for over in own if over), None)
    return found


def most_m(sheet: Json, dive: Json) -> float | None:
    """Return the depth to which the signs of a dive limit the rest of its day, None when they do not."""
    if not dive["signs"]:
        return None
    depths = [sheet["signs"][code]["most_m"] for code in dive["signs"] if "most_m" in sheet["signs"][code]]
    return min(depths, default=None)


def rushed(words: Json, dive: Json, pauses: PauseDay) -> list[str]:
    """Return the flag of a dive whose pause was shorter than the dives before it asked for; it needs its times."""
    if dive["at"] is None or dive["dive_s"] is None:
        return []
    surfaced = {"reached_m": dive["reached_m"], "dive_s": dive["dive_s"], "surfaced_s": seconds_of(dive["at"])}
    short = pauses.add(surfaced)
    if short is None:
        return []
    said = {"pause": floor(short["pause_s"] / MINUTE_S), "needed": ceil(short["needed_s"] / MINUTE_S)}
    return [fill(words["short_pause"], said)]
