"""Tables as CSV (RFC 4180)."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

# A spreadsheet treats a cell that begins like this as a formula, and a formula can send the data elsewhere.
FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")


def table(names: Sequence[str], rows: Iterable[Mapping[str, Any]]) -> str:
    """Return a CSV with a header row; text that a spreadsheet would treat as a formula gets an apostrophe in front."""
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow(names)
    writer.writerows([_plain(row.get(name)) for name in names] for row in rows)
    return text.getvalue()


def _plain(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, list):
        value = " ".join(value)
    return f"'{value}" if isinstance(value, str) and value.startswith(FORMULA) else str(value)
