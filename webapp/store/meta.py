"""Facts about the data file: the epoch, an id that changes when the file has gone back in time."""

from uuid import uuid4

from webapp.store.sqlite.database import execute


def epoch() -> str:
    """Return the epoch; a phone that knows another one sends its records again."""
    return str(execute("SELECT value FROM meta WHERE name = 'epoch'").fetchone()[0])


def renew_epoch(at: str = "") -> str:
    """Give the file another epoch, in the caller's transaction, and return it: it may lack what phones have read."""
    made = uuid4().hex
    execute("UPDATE meta SET value = ? WHERE name = 'epoch'", (made,))
    execute("INSERT OR REPLACE INTO meta VALUES ('renewed_at', ?)", (at,))
    return made


def was_renewed(after: str, until: str) -> bool:
    """Tell whether the epoch was renewed between these moments."""
    sql = "SELECT 1 FROM meta WHERE name = 'renewed_at' AND value > ? AND value <= ?"
    return bool(execute(sql, (after, until)).fetchone())
