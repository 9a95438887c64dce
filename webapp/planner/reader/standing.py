"""Where a diver stands on one ladder, and where a dive takes them: each change makes a new standing."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping
from itertools import pairwise
from operator import itemgetter
from typing import Any, NamedTuple

from .sentences import fill, nth

Json = Mapping[str, Any]


class Standing(NamedTuple):
    """A rung (its index), the clean dives in a row on it, the run of hard or turned dives, and why it is this rung.

    `last` holds whether each of the last dives on the rung was clean, `efforts` those of its clean dives, `sent_down`
    the rungs from which the diver had to step down. On a way back `back` is the rung to which it leads, and
    `back_clean` the clean dives already made there. `dived` is the rung of the last dive on the plan. `is_set`: the
    diver or an event set this rung, so no run-in makes it shallower still.
    """

    rung: int
    clean: int
    run: int
    why: str
    last: tuple[bool, ...] = ()
    efforts: tuple[int, ...] = ()
    sent_down: tuple[int, ...] = ()
    back: int | None = None
    back_clean: int = 0
    dived: int | None = None
    is_set: bool = False


def standing_at(rung: int, why: str, *, is_set: bool) -> Standing:
    """Return a standing at the beginning of a ladder."""
    return Standing(rung, 0, 0, why, is_set=is_set)


def needed(sheet: Json, ladder: Json, now: Standing) -> int:
    """Return the clean dives in a row that this rung needs.

    From one rung above the shallowest that sent the diver down, every rung needs what it needs from the best on.
    """
    if now.back is not None:
        return int(sheet["numbers"]["return_repeats"])
    needs = ladder["rungs"][now.rung]["needs"]
    if not now.sent_down or now.rung + 1 < min(now.sent_down):
        return int(needs)
    more = sheet["numbers"]["more_after_down"] if now.rung in now.sent_down else 0
    return int(max(needs, ladder["repeats"]) + more)


def sent_down(now: Standing) -> Standing:
    """Return the standing with its rung marked as one from which the diver had to step down."""
    return now._replace(sent_down=(*now.sent_down, now.rung))


def moved(sheet: Json, ladder: Json, before: Standing, deed: Json, assumed: bool) -> Standing:
    """Return the standing after a dive on the plan that was clean, hard or turned.

    `deed` is {verdict, reached_m, effort, is_outside}; `assumed` words it as a dive still to come. For worse verdicts
    see `lowered`.
    """
    words, depth_m = sheet["words"], ladder["rungs"][before.rung]["depth_m"]
    now = before._replace(dived=before.rung, is_set=False)
    said = {"reached": deed["reached_m"], "depth": depth_m}
    if deed["is_outside"] and deed["verdict"] == "turned":
        return now._replace(why=fill(words["turned_outside"], said))
    if sheet["verdicts"][deed["verdict"]]["counts"]:
        if deed["reached_m"] < depth_m - sheet["numbers"]["tolerance_m"]:
            return now._replace(run=0, why=fill(words["short"], said))
        return _counted(sheet, ladder, now, deed["effort"], "_if" if assumed else "")
    return _not_clean(sheet, now, deed["verdict"], said)


def lowered(now: Standing, steps: int, why: str) -> Standing:
    """Return the standing this many rungs shallower; counts and run start again, a way back ends."""
    return Standing(max(0, now.rung - steps), 0, 0, why, sent_down=now.sent_down, dived=now.dived, is_set=True)


def resumed(sheet: Json, ladder: Json, now: Standing, values: Json) -> Standing:
    """Return the standing from which this ladder continues after a stand-down."""
    rung, numbers = ladder["rungs"][now.rung], sheet["numbers"]
    start_m = ladder["rungs"][rung["resume"]]["depth_m"]
    key = "resume_lowest" if start_m > numbers["resume_share"] * rung["depth_m"] else "resume"
    said = {**values, "percent": numbers["resume_percent"], "depth": rung["depth_m"], "start": start_m}
    return lowered(now, now.rung - rung["resume"], fill(sheet["words"][key], said))


def carried(before: Json, after: Json, now: Standing) -> Standing:
    """Return the standing on a ladder that a change of the season made anew: it goes on by depth."""
    depth_m = before["rungs"][now.rung]["depth_m"]
    rung = rung_at(after, depth_m)
    back = None if now.back is None else rung_at(after, before["rungs"][now.back]["depth_m"])
    marked = tuple(rung_at(after, before["rungs"][at]["depth_m"]) for at in now.sent_down)
    dived = None if now.dived is None else rung_at(after, before["rungs"][now.dived]["depth_m"])
    moved_to = now._replace(rung=rung, sent_down=marked, dived=dived, back=back if back and back > rung else None)
    if after["rungs"][rung]["depth_m"] == depth_m:
        return moved_to
    return moved_to._replace(clean=0, run=0, last=(), efforts=())


def rung_at(ladder: Json, depth_m: float) -> int:
    """Return the deepest rung that is no deeper than this; the lowest one when all are."""
    return max(0, bisect_right(ladder["rungs"], depth_m, key=itemgetter("depth_m")) - 1)


def _not_clean(sheet: Json, now: Standing, verdict: str, said: Json) -> Standing:
    """Return the standing after a hard or turned dive: the count starts again; enough of them lead one rung down."""
    words, numbers = sheet["words"], sheet["numbers"]
    run, last = now.run + 1, (*now.last, False)[-numbers["of_last"] :]
    bad = last.count(False)
    if run < sheet["verdicts"][verdict]["run_limit"] and bad < numbers["not_clean"]:
        return now._replace(clean=0, run=run, last=last, efforts=(), why=fill(words[verdict], said))
    key = "lowest" if now.rung == 0 else "down" if run >= bad else "down_of"
    why = fill(words[key], {**said, "count": max(run, bad), "of": len(last)})
    down = lowered(sent_down(now), 1, why)
    return down._replace(is_set=False)


def _counted(sheet: Json, ladder: Json, now: Standing, effort: int | None, ending: str) -> Standing:
    words, numbers, rungs = sheet["words"], sheet["numbers"], ladder["rungs"]
    clean, needs, depth_m = now.clean + 1, needed(sheet, ladder, now), rungs[now.rung]["depth_m"]
    said = {"nth": nth(clean, words), "depth": depth_m, "left": needs - clean, "beyond": ladder["beyond_m"]}
    efforts = () if effort is None else (*now.efforts, effort)[-numbers["rising_dives"] :]
    last = (*now.last, True)[-numbers["of_last"] :]
    stays = now._replace(clean=clean, run=0, last=last, efforts=efforts)
    if clean < needs:
        return stays._replace(why=fill(words["again" + ending], said))
    if _is_rising(efforts, numbers["rising_dives"]):
        return stays._replace(clean=needs - 1, efforts=(), why=fill(words["rising"], said))
    if now.back is not None:
        far = min(now.rung + numbers["return_rungs"], now.back)
        return _on_the_way_back(words, rungs, now, now.back, now.rung + 1 if rungs[far].get("single") else far, ending)
    if now.rung + 1 < len(rungs):
        step_m = rungs[now.rung + 1].get("step_m")
        key, said = ("up", said) if step_m is None else ("up_short", {**said, "step": step_m})
        return _arrived(now, now.rung + 1, 0, fill(words[key + ending], said))
    return stays._replace(why=fill(words[ladder["top"] + ending], said))


def _on_the_way_back(words: Json, rungs: Any, now: Standing, back: int, rung: int, ending: str) -> Standing:
    said = {"depth": rungs[now.rung]["depth_m"], "back": rungs[back]["depth_m"]}
    if rung == back:
        there = _arrived(now, rung, now.back_clean, fill(words["back_there" + ending], said))
        return there._replace(back=None, back_clean=0)
    return _arrived(now, rung, 0, fill(words["back" + ending], said))


def _arrived(now: Standing, rung: int, clean: int, why: str) -> Standing:
    return now._replace(rung=rung, clean=clean, run=0, last=(), efforts=(), why=why)


def _is_rising(efforts: tuple[int, ...], dives: int) -> bool:
    return len(efforts) == dives and all(one < other for one, other in pairwise(efforts))
