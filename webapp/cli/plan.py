"""The planner at the command line: reads the files, asks the planner, prints; every fault goes to stderr."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Iterable, Sequence
from typing import Any

from webapp import clock
from webapp.planner.plan import plan_of
from webapp.protocol.log import check_log
from webapp.records.season import check_season
from webapp.rulebook.checks import is_day
from webapp.rulebook.faults import Fault, Refused
from webapp.rulebook_file import read_rulebook

BAD_INPUT = 2


def main(argv: Sequence[str]) -> int:
    """Run `plan SEASON.json [--log LOG.json] [--today YYYY-MM-DD] [--json]`; 2 for bad input."""
    parser = argparse.ArgumentParser(prog="python -m webapp plan", description="The dated plan of a season.")
    parser.add_argument("season", help="the season, a JSON file")
    parser.add_argument("--log", help="what was dived, a JSON file")
    parser.add_argument("--today", help="plan as if it were this day, YYYY-MM-DD")
    parser.add_argument("--json", action="store_true", help="print JSON instead of a table")
    options = parser.parse_args(argv)
    try:
        plan = _plan(options.season, options.log, options.today)
    except Refused as refused:
        return _complain(refused.faults)
    print(json.dumps(plan, ensure_ascii=False, indent=1) if options.json else "\n".join(_table(plan)))
    return 0


def _plan(season_path: str, log_path: str | None, today: str | None) -> dict[str, Any]:
    """Read both files and plan; all faults of season, log and date are collected first."""
    book = read_rulebook()
    faults: list[Fault] = []
    found: list[Any] = []
    for name, path, check in (("season", season_path, check_season), ("log", log_path, check_log)):
        try:
            raw = [] if path is None else _json(path)
            found.append((raw, check(raw, book)))
        except Refused as refused:
            faults += [Fault(f"{name}: {fault.field}" if fault.field else name, fault.says) for fault in refused.faults]
    today = clock.now().astimezone().date().isoformat() if today is None else today
    faults += _date_faults(today)
    if faults:
        raise Refused(faults)
    (raw, _), (_, log) = found
    return plan_of(raw, log, today, book)


def _date_faults(today: str) -> list[Fault]:
    return [] if is_day(today) else [Fault("--today", "must be a date as YYYY-MM-DD")]


def _json(path: str) -> Any:
    try:
        with open(path, encoding="utf-8") as file:
            return json.load(file)
    except OSError as error:
        named = path or "''"
        raise Refused([Fault("", f"{named} cannot be read: {error.strerror}")]) from error
    except (ValueError, RecursionError) as error:
        raise Refused([Fault("", f"{path} is not JSON: {error}")]) from error


def _complain(faults: Iterable[Fault]) -> int:
    for fault in faults:
        print(f"{fault.field} {fault.says}", file=sys.stderr)
    return BAD_INPUT


def _table(plan: dict[str, Any]) -> Iterable[str]:
    """Yield the lines of the plan for people."""
    yield f"{'date':<12}{'block':<7}{'day':<12}{'dives':<44}why"
    for day in plan["days"]:
        block = "" if day["block"] is None else str(day["block"])
        yield f"{day['date']:<12}{block:<7}{day['kind']:<12}{_dives(day):<44}{day['over'] or day['why']}"
        for done in day["done"]:
            reached = f"{done['discipline']} {done['role']} {done['reached_m']:g} m"
            yield f"{'':<31}done: {reached}: {'; '.join([done['says'], *done['flags']])}"
    yield ""
    for name, ladder in plan["disciplines"].items():
        yield f"{name}: from {ladder['start_m']:g} m, now {ladder['rung_m']:g} m, clean on it {ladder['clean_on_rung']}"
        yield f"  comfortable at {ladder['comfortable_m']:g} m, best {ladder['best_m']:g} m. {ladder['ends_says']}"
        yield from (f"  {goal['says']}" for goal in ladder["goals"].values())
    if plan["stand_down"]:
        yield from ("", plan["stand_down"]["why"], *plan["stand_down"]["care"])


def _dives(day: dict[str, Any]) -> str:
    """Return a day's dives in short: `FIM 40 m deep 1/2 (deeper than your best of 38 m), 2 x CWT 22 m drill`."""
    counts: dict[str, int] = {}
    for dive in (dive for dive in day["dives"] if dive["done"] or not day["over"]):
        count = f" {dive['repeat']}/{dive['repeats']}" if dive["role"] == "deep" else ""
        text = f"{dive['discipline']} {dive['target_m']:g} m {dive['role']}{count}{_meaning(dive)}"
        counts[text] = counts.get(text, 0) + 1
    return ", ".join(text if count == 1 else f"{count} x {text}" for text, count in counts.items())


def _meaning(dive: dict[str, Any]) -> str:
    """Return what a drill is for, and what a target means: a new best, a goal."""
    said = [dive[name] for name in ("focus", "best_says", "reaches") if dive.get(name)]
    return f" ({'; '.join(said)})" if said else ""
