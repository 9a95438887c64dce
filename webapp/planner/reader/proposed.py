"""What a coach proposed for a day and the diver did not decline: it can only make the day easier."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from .boat_day import Said

Json = Mapping[str, Any]


def most_m(said: Said, name: str) -> float | None:
    """Return the depth that no dive of this discipline is to pass on a day, None when nobody proposed it."""
    return min((one["depth_m"] for one in _caps(said, name)), default=None)


def easy_why(words: Json, said: Said, name: str, deep_m: float) -> str | None:
    """Return why a day is easy by the word of its diver or a coach, None when it is not.

    It is easy too when even the shallowest deep dive that the ladder offers, `deep_m`, is deeper than proposed.
    """
    if said.easy:
        asked: str = words["easy_asked"]
        return asked
    easy = [one for one in said.proposed if one["what"] == "easy"]
    too_deep = [one for one in _caps(said, name) if one["depth_m"] < deep_m]
    return _reason(easy or too_deep) if easy or too_deep else None


def cap_why(said: Said, name: str) -> str:
    """Return the reason of the shallowest depth that was proposed for a discipline."""
    most = most_m(said, name)
    return _reason([one for one in _caps(said, name) if one["depth_m"] == most])


def no_deeper_than_proposed(dives: Sequence[dict[str, Any]], said: Said) -> None:
    """Make warm-ups and drills shallower that are deeper than proposed; the deep dive is so already."""
    for dive in dives:
        most = most_m(said, dive["discipline"])
        if most is not None and dive["target_m"] > most:
            dive["target_m"], dive["why"] = most, cap_why(said, dive["discipline"])


def _caps(said: Said, name: str) -> list[Json]:
    return [one for one in said.proposed if one["what"] == "cap" and one["discipline"] in (None, name)]


def _reason(proposals: Sequence[Json]) -> str:
    """Return what the proposals say, each with the name of who made it."""
    return "; ".join(f"{one['says']} ({one['by']})" if one["says"] else one["by"] for one in proposals)
