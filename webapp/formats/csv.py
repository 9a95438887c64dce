"""Tables as CSV (RFC 4180)."""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

# A spreadsheet treats a cell that begins like this as a formula, and a formula can send the data elsewhere. What is
# not seen does not count as a beginning, and where a decimal comma is usual, a semicolon begins the next cell.
UNSEEN = r"\s\u00a0\u00ad\u200b-\u200f\u2060\ufeff"
FORMULA = re.compile(rf"(^|;)(?=[{UNSEEN}\"']*[=+\-@＝＋－＠]|[\t\r\n])")


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
    if isinstance(value, Mapping):
        value = json.dumps(value, ensure_ascii=False, separators=(",", ":"))
    return FORMULA.sub(r"\1'", value) if isinstance(value, str) else str(value)
