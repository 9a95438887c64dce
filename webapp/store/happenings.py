"""What happened with an account, the latest few hundred of each."""

from webapp.store.tables import Happened
from webapp.store.values import Event

MOST_KEPT = 500  # of one diver: somebody who guesses passwords must not fill the disk


def add_event(user_id: int, what: str, at: str) -> None:
    """Add an event, and forget the oldest beyond the most that are kept."""
    Happened.create(user_id=user_id, what=what, at=at)
    own = Happened.select(Happened.id).where(Happened.user_id == user_id).order_by(Happened.id.desc())
    oldest = own.offset(MOST_KEPT - 1).limit(1).scalar()
    if oldest is not None:
        Happened.delete().where((Happened.user_id == user_id) & (Happened.id < oldest)).execute()


def list_events(user_id: int) -> list[Event]:
    """Return a diver's events, the latest first."""
    rows = Happened.select().where(Happened.user_id == user_id).order_by(Happened.id.desc())
    return [Event(row.at, row.what) for row in rows]


def has_event(user_id: int, what: str) -> bool:
    """Tell whether this is among the events that are kept."""
    return bool(Happened.select().where((Happened.user_id == user_id) & (Happened.what == what)).exists())
