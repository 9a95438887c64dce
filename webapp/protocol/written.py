"""JSON that was written once and is sent many times: a large value that carries its own text into each answer."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

HOLDERS = ("feeds", "snapshot", "sheet")  # where in an answer such a value may stand
_encode = json.JSONEncoder(separators=(",", ":")).encode


class Written(dict[str, Any]):
    """A mapping with its JSON. Nobody may change it: the text would not follow."""

    text = ""


def written(value: Mapping[str, Any]) -> Written:
    """Return the mapping with its JSON, without spaces and all ASCII."""
    made = Written(value)
    made.text = _encode(value)
    return made


def text_of(answer: Any) -> str:
    """Return an answer as JSON, the same as if all of it were written now."""
    if isinstance(answer, Written):
        return answer.text
    if isinstance(answer, dict):
        parts = (f"{_encode(name)}:{(text_of if name in HOLDERS else _encode)(part)}" for name, part in answer.items())
        return "{" + ",".join(parts) + "}"
    if isinstance(answer, list):
        return "[" + ",".join(map(text_of, answer)) + "]"
    return _encode(answer)
