"""Review of each block for the rest day: dives, how many were clean by depth, best, focus, own words, what is next."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ..planner.proposal import is_clean
from ..rulebook.checks import show
from ..rulebook.rulebook import Rulebook
from .bands import by_band, dives_of, edges, in_words
from .health import health_lines
from .shares import wilson
from .words import count, on

Json = Mapping[str, Any]
DIGITS = 4
PERCENT = 100


@dataclass(frozen=True)
class Span:
    """A block of the season as its days are: from its first to its last, counted from 1."""

    number: int
    first_day: str
    last_day: str
    main: str

    def holds(self, day: str) -> bool:
        """Tell whether a day lies in the block."""
        return self.first_day <= day <= self.last_day


def reviews_of(
    sheet: Json | None, plan: Json | None, log: Sequence[Json], book: Rulebook, today: str
) -> list[dict[str, Any]]:
    """Return a review of each block that has begun, in order; what is dated after today does not count yet."""
    spans = _spans(sheet["days"]) if sheet else []
    past = [record for record in log if str(record.get("date") or "") <= today]
    begun = [span for span in spans if span.first_day <= today]
    after = dict(zip(spans, [*spans[1:], None], strict=False))
    return [_review(span, after[span], plan, past, book, today) for span in begun]


def _spans(days: Iterable[Json]) -> list[Span]:
    found: dict[int, list[Json]] = {}
    for day in days:
        if day["block"] is not None:
            found.setdefault(day["block"], []).append(day)
    return [Span(number, held[0]["date"], held[-1]["date"], held[-1]["lead"]) for number, held in found.items()]


def _review(
    span: Span, after: Span | None, plan: Json | None, log: Sequence[Json], book: Rulebook, today: str
) -> dict[str, Any]:
    dives = [dive for dive in dives_of(log) if span.holds(dive["date"])]
    rows, best = _clean_by_depth(dives, span.main, book), _best(dives, span.main, book)
    counts = {
        "dives": len(dives),
        "days": len({dive["date"] for dive in dives}),
        "deep_days": len({dive["date"] for dive in dives if dive["role"] == "deep"}),
    }
    return {
        "first_day": span.first_day,
        "last_day": span.last_day,
        "number": span.number,
        "main": span.main,
        "is_over": span.last_day < today,
        **counts,
        "clean_by_depth": rows,
        "best": best,
        "focus": _focuses(log, span, book),
        **_written(log, span),
        "next": after and {"first_day": after.first_day, "main": after.main, "last_day": after.last_day},
        "says": [*_counts_say(span, counts, book), *_rows_say(rows, span, book), *_best_says(best, book),
                 *_won(plan, span, book), *_next_says(after, book)],
        "health": health_lines(log, span.first_day, span.last_day, book),
    }  # fmt: skip


def _clean_by_depth(dives: Iterable[Json], main: str, book: Rulebook) -> list[dict[str, Any]]:
    """Return the deep dives of the main discipline by depth: how many were clean, from enough on a share."""
    deep = [dive for dive in dives if dive["role"] == "deep" and dive["discipline"] == main]
    found = []
    for (_, from_m), held in by_band(deep, book).items():
        clean = sum(is_clean(dive, book) for dive in held)
        low, high = _interval(clean, len(held), book)
        found.append({**edges(from_m, book), "clean": clean, "of": len(held), "low": low, "high": high})
    return found


def _interval(clean: int, of: int, book: Rulebook) -> tuple[float | None, float | None]:
    if of < book.value("looking_back.share_from"):
        return None, None
    low, high = wilson(clean, of, book.value("looking_back.interval"))
    return round(low, DIGITS), round(high, DIGITS)


def _best(dives: Iterable[Json], main: str, book: Rulebook) -> dict[str, Any] | None:
    """Return the deepest clean dive of the main discipline, of several the first."""
    clean = [dive for dive in dives if dive["discipline"] == main and is_clean(dive, book)]
    if not clean:
        return None
    best = max(clean, key=lambda dive: float(dive["reached_m"]))
    return {"discipline": main, "depth_m": best["reached_m"], "on": best["date"]}


def _focuses(log: Iterable[Json], span: Span, book: Rulebook) -> list[str]:
    """Return the focuses of the block: what was set in it, and what each discipline began it with."""
    began: dict[str, Json] = {}
    within = []
    order = sorted((one for one in log if one["kind"] == "focus"), key=_set_on)
    for one in order:
        if one["from"] <= span.first_day:
            began[one["discipline"]] = one
        elif one["from"] <= span.last_day:
            within.append(one)
    return [f"{one['discipline']}: {_focus_words(one, book)}" for one in [*began.values(), *within]]


def _set_on(focus: Json) -> tuple[str, str, str]:
    return focus["from"], focus.get("logged_at") or "", focus["id"]


def _focus_words(focus: Json, book: Rulebook) -> str:
    own = (focus["says"] or "").strip()
    return own or str(book.texts["cue"].get(focus["cue"], {}).get("says", focus["cue"]))


def _written(log: Iterable[Json], span: Span) -> dict[str, Any]:
    """Return what the diver wrote of the block: the review of a day in it, of several the last."""
    found: Json = {"well": "", "change": "", "id": None, "date": ""}
    for record in log:
        if record["kind"] == "review" and span.holds(record["date"]) and record["date"] >= found["date"]:
            found = record
    return {"well": found["well"], "change": found["change"], "record": found["id"]}


def _counts_say(span: Span, counts: Json, book: Rulebook) -> list[str]:
    when = f"{on(span.first_day, book)} to {on(span.last_day, book)}"
    dived = (
        f"{count(counts['dives'], 'dive')} on {count(counts['days'], 'day')}, {counts['deep_days']} with a deep dive"
    )
    return [f"Block {span.number}, {span.main}, {when}: {dived if counts['dives'] else 'no dive is logged'}."]


def _rows_say(rows: Sequence[Json], span: Span, book: Rulebook) -> list[str]:
    said = [
        f"{span.main} {in_words(row)}: {row['clean']} of {count(row['of'], 'dive')} clean{_share(row)}." for row in rows
    ]
    return [
        *said,
        *([book.texts["block_review"]["independent"]] if any(row["low"] is not None for row in rows) else []),
    ]


def _share(row: Json) -> str:
    if row["low"] is None:
        return ""
    low, high = (round(PERCENT * row[name]) for name in ("low", "high"))
    return f" (as a share, {low} to {high} % with this few dives)"


def _best_says(best: Json | None, book: Rulebook) -> list[str]:
    if best is None:
        return []
    return [
        f"Deepest clean {best['discipline']} dive of the block: {show(best['depth_m'])} m on {on(best['on'], book)}."
    ]


def _won(plan: Json | None, span: Span, book: Rulebook) -> list[str]:
    """Return the new bests and the goals that the plan noted in the block."""
    days = [day for day in plan["days"] if span.holds(day["date"])] if plan else []
    won = [(day["date"], says) for day in days for dive in day["done"] for says in dive.get("wins", [])]
    return [f"{on(day, book)}: {says}." for day, says in won]


def _next_says(after: Span | None, book: Rulebook) -> list[str]:
    if after is None:
        return []
    return [f"Next block: {after.main}, {on(after.first_day, book)} to {on(after.last_day, book)}."]
