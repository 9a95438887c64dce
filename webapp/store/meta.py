"""Facts about the data file: the epoch, an id that changes when a backup is restored."""

from webapp.store.sqlite.database import execute


def epoch() -> str:
    """Return the epoch; a phone that knows another one sends its records again."""
    return str(execute("SELECT value FROM meta WHERE name = 'epoch'").fetchone()[0])
