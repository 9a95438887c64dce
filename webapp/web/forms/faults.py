"""Puts the strict check's faults beside their fields."""

from collections.abc import Callable, Iterable
from typing import NamedTuple

from wtforms import Field

from webapp.rulebook.faults import Fault


class Shown(NamedTuple):
    """One fault in the list at the top: a whole sentence, and the id of its field if it has one."""

    anchor: str
    says: str


def place(faults: Iterable[Fault], find: Callable[[str], Field | None]) -> list[Shown]:
    """Add each fault to its field's errors and return all of them for the top of the page.

    find turns the check's dotted name into a field of the form, or None.
    """
    shown = []
    for fault in faults:
        field = find(fault.field)
        if field is None:
            shown.append(Shown("", sentence(fault.field, fault.says)))
            continue
        field.errors = [*field.errors, sentence("", fault.says)]
        shown.append(Shown(field.id, sentence(_called(field), fault.says)))
    return shown


def sentence(subject: str, says: str) -> str:
    """Return a finished sentence; without a subject it starts with what is wrong."""
    whole = f"{subject} {says}".strip()
    whole = whole[:1].upper() + whole[1:]
    return whole if whole.endswith((".", "!", "?")) else whole + "."


def _called(field: Field) -> str:
    """Return the field's name in words, with the part of the form when several have the same name."""
    return str(getattr(field, "called", None) or field.label.text)
