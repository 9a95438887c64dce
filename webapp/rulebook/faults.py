"""How bad input is reported: each field, and what is wrong with it in plain words."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True)
class Fault:
    """One thing wrong with the input: the field's dotted name, and what is wrong in plain words."""

    field: str
    says: str


class Refused(Exception):
    """Input was not accepted; `faults` has every fault that was found."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("; ".join(f"{fault.field}: {fault.says}" for fault in self.faults))
