"""Health: whether the server could keep what a phone sends now."""

from webapp.store.sqlite.writable import obstacle

SAYS = {
    "locked": "Another program is writing to the data file.",
    "read_only": "The data file can be read, not written.",
    "missing": "The data file is missing.",
    "full": "There is no room beside the data file.",
    "broken": "The data file cannot be used.",
}


def trouble() -> tuple[str, str] | None:
    """Return why a write would not work now, as a code and in words; None when it would."""
    why = obstacle()
    return (why, SAYS[why]) if why else None
