"""What a restored backup changes in a data file: its epoch."""

from webapp.store import meta


def renew_epoch() -> str:
    """Give the open file a new epoch, in the caller's transaction, and return what production reads then."""
    meta.renew_epoch()
    return meta.epoch()
