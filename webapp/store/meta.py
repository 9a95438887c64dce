"""Facts about the data file: the epoch, an id that changes when the file has gone back in time."""

from uuid import uuid4

from webapp.store.sqlite.database import execute


def epoch() -> str:
    """Return the epoch; a phone that knows another one sends its records again."""
    return str(execute("SELECT value FROM meta WHERE name = 'epoch'").fetchone()[0])


def renew_epoch() -> str:
    """Give the file another epoch, in the caller's transaction, and return it: it may lack what phones have read."""
    made = uuid4().hex
    execute("UPDATE meta SET value = ? WHERE name = 'epoch'", (made,))
    return made
