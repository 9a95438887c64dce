"""What a restored backup changes in a data file: its epoch."""

from webapp.store import meta
from webapp.store.sqlite.database import execute


def renew_epoch() -> str:
    """Give the open file a new epoch, in the caller's transaction, and return what production reads then."""
    execute("UPDATE meta SET value = lower(hex(randomblob(16))) WHERE name = 'epoch'")
    return meta.epoch()
