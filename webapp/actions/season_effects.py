"""What a season as typed, or a change of one, means for its goals: shown where the diver decides."""

from dataclasses import dataclass
from typing import Any

from webapp.actions import planning, seasons
from webapp.actions.changing import Holds
from webapp.actions.what_if import replanned
from webapp.forecast.variants import Variant, variants_of
from webapp.forecast.window import enough, rows_of
from webapp.records.changes import raw_on
from webapp.rulebook_file import read_rulebook

Raw = dict[str, Any]


@dataclass(frozen=True)
class Filled:
    """A listed change filled in: in words, the season with it as the form shows it, and from when it holds."""

    says: str
    raw: Raw
    holds: Holds


@dataclass(frozen=True)
class Enough:
    """Whether the days are enough, by the plan alone, and each of the cautions that stand beside it."""

    cautions: list[str]
    says: list[str]


def enough_of(plan: Raw, today: str) -> Enough:
    """Return what a plan as read today says about its goals; empty while a doctor's clearance is missing."""
    book = read_rulebook()
    return Enough(list(book.texts["outlook"]["cautions"]), enough(plan, today, book))


def effect_of(user_id: int, before: Raw, after: Raw, today: str) -> Raw | None:
    """Return what a saved change did to the goals, as plain values; None where nothing changed or cannot be told."""
    if before == after:
        return None
    try:
        return _effect(seasons.log_of(user_id), before, after, today)
    except planning.NOT_PLANNED:  # the change is saved all the same, and the season's own page says what is wrong
        return None


def filled_in(raw: Raw, key: str, today: str) -> Filled | None:
    """Return one of the changes that are compared, filled in; None where it is none of those that can be made now."""
    try:
        found = variants_of(raw, planning.own_book(raw), today)
    except planning.NOT_PLANNED:
        return None
    return next((_filled(one) for one in found if one.key == key), None)


def fill_words() -> dict[str, str]:
    """Return what stands beside a field that is filled in, and where a change cannot be filled in."""
    return dict(read_rulebook().texts["window"]["fill"])


def _filled(one: Variant) -> Filled:
    says = fill_words()["says"].format(change=one.says, costs=one.costs)
    return Filled(says, raw_on(one.raw, one.shown_on), Holds(one.from_day, "", one.shown_on))


def _effect(log: list[Raw], before: Raw, after: Raw, today: str) -> Raw:
    book = read_rulebook()
    was, now = (replanned(raw, log, today)[2] for raw in (before, after))
    words, cautions = book.texts["window"]["saved"], list(book.texts["outlook"]["cautions"])
    none = [str(one["none_because"]) for one in (was, now) if one["none_because"] is not None]
    if none:
        return {"says": none[0], "cautions": cautions, "rows": [], "others": "", "is_told": False}
    rows = rows_of(was, now, today, book)
    moved = [[row.what, row.before, row.after] for row in rows if row.before != row.after]
    others = words["others"] if 0 < len(moved) < len(rows) else ""
    return {
        "says": words["moved" if moved else "same"],
        "cautions": cautions,
        "rows": moved,
        "others": others,
        "is_told": True,
    }
