"""How the physics refuses: one exception, the field's name and plain words with the allowed range."""

from __future__ import annotations


class OutOfRange(ValueError):
    """A value that the formulas were not made for; `says` names the allowed range."""

    def __init__(self, field: str, says: str) -> None:
        self.field = field
        self.says = says
        super().__init__(f"{field}: {says}")
