"""The best of each discipline: the deepest clean dive of the whole log, and how it came to it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from ..planner.proposal import is_clean
from ..rulebook.rulebook import Rulebook
from .bands import dives_of

Json = Mapping[str, Any]
SAYS = "Clean dives only: the target reached, no sign, no hard effort. All seasons count."
NONE = "No clean dive is logged yet."


def bests_of(log: Iterable[Json], book: Rulebook, seasons: Sequence[Json] = ()) -> dict[str, Any]:
    """Return each discipline's best with its history: every clean dive that was deeper than all clean ones before it.

    `clean` means the same as at the set-up of a season (`planner.proposal.is_clean`), which starts from these bests.
    `seasons` of {name, first_day, last_day} name the season of a best.
    """
    found: dict[str, list[dict[str, Any]]] = {}
    for dive in sorted(dives_of(log), key=lambda dive: dive["date"]):
        if is_clean(dive, book):
            _deeper(found.setdefault(dive["discipline"], []), dive)
    rows = [
        {"discipline": name, **history[-1], "season": season_on(history[-1]["on"], seasons), "history": history}
        for name, history in sorted(found.items())
    ]
    return {"rows": rows, "says": SAYS if rows else NONE}


def season_on(day: str, seasons: Sequence[Json]) -> str | None:
    """Return the name of the season that holds a day, of several the one that began last; None in no season."""
    held = [one for one in seasons if one["first_day"] <= day <= one["last_day"]]
    return str(max(held, key=lambda one: one["first_day"])["name"]) if held else None


def _deeper(history: list[dict[str, Any]], dive: Json) -> None:
    if not history or dive["reached_m"] > history[-1]["depth_m"]:
        history.append({"depth_m": dive["reached_m"], "on": dive["date"]})
