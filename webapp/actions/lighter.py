"""Whether a change makes a dive's result lighter: then it needs a reason, so that no stand-down ends silently."""

from collections.abc import Mapping
from typing import Any

from webapp.actions import planning
from webapp.planner.reader.verdict import judge

Json = Mapping[str, Any]
REASON = "lighter_why"


def sheet_of(user_id: int) -> Json | None:
    """Return the diver's ladder sheet, None without a season that can be planned; the caller has a transaction open."""
    try:
        compiled = planning.compiled_of(user_id)
    except planning.NOT_PLANNED:
        return None
    return compiled.sheet if compiled else None


def is_lighter(sheet: Json | None, before: Json, after: Json) -> bool:
    """Tell whether the verdict gets lighter, or a sign goes that ends or limits a day; without a sheet any sign."""
    gone = [code for code in before.get("signs") or [] if code not in (after.get("signs") or [])]
    if sheet is None:
        return bool(gone)
    return _rank(sheet, after) < _rank(sheet, before) or any(_is_heavy(sheet, code) for code in gone)


def _rank(sheet: Json, dive: Json) -> int:
    return int(sheet["verdicts"][judge(sheet, dive).name]["rank"])


def _is_heavy(sheet: Json, code: str) -> bool:
    sign = sheet["signs"][code]
    return bool(sheet["verdicts"][sign["verdict"]]["over"] or sign.get("over") or sign.get("most_m"))
