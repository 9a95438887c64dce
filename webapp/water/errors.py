"""How the physics refuses bad input: one exception with the field's name and the allowed range in plain words."""

from __future__ import annotations


class OutOfRange(ValueError):
    """A value that the formulas were not made for; `says` names the allowed range."""

    def __init__(self, field: str, says: str) -> None:
        self.field = field
        self.says = says
        super().__init__(f"{field}: {says}")
