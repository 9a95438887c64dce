"""Facts about the data file: the epoch, an id that changes when a backup is restored."""

from uuid import uuid4

from webapp.store.sqlite.database import execute
from webapp.store.tables import Fact


def epoch() -> str:
    """Return the epoch; a phone that knows another one sends its records again."""
    return str(execute("SELECT value FROM meta WHERE name = 'epoch'").fetchone()[0])


def renew_epoch() -> str:
    """Give the file a new epoch, as after a backup was restored, and return it."""
    Fact.update(value=uuid4().hex).where(Fact.name == "epoch").execute()
    return epoch()
