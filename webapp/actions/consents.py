"""Consents: who may use a diver's log, with which right each, as the diver says; and what others share with them."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from webapp import store
from webapp.actions import access, events
from webapp.actions.errors import NotFound
from webapp.actions.offers import FULL, MOST_MEMBERS, check_feeds
from webapp.actions.times import stamp
from webapp.protocol.kinds import CREW
from webapp.rulebook.faults import Refused
from webapp.store import feeds
from webapp.store.values import Person


@dataclass(frozen=True)
class Shared:
    """A log that somebody shares with this diver: whose, and what may be done with it."""

    feed: str
    name: str
    rights: tuple[str, ...]
    since: str


def given(user_id: int) -> list[Person]:
    """Return who may use a diver's log, in the order in which they came."""
    with store.reading():
        return feeds.people(feeds.log_feed(user_id))


def crew_mates(user_id: int) -> list[Person]:
    """Return who is in a crew with this diver and may not use the log yet, by name."""
    with store.reading():
        have = {one.user_id for one in feeds.people(feeds.log_feed(user_id))} | {user_id}
        return sorted((one for one in _mates(user_id).values() if one.user_id not in have), key=lambda one: one.name)


def received(user_id: int) -> list[Shared]:
    """Return the logs that others share with this diver."""
    with store.reading():
        found = [(feed, one) for feed, one in feeds.memberships(user_id) if feed.kind != CREW]
        return [
            Shared(feed.name, feeds.person_of(feed.owner_id).name, in_order(one.rights), one.since)
            for feed, one in found
        ]


def set_rights(user_id: int, person: str, rights: Iterable[str], now: datetime) -> bool:
    """Let somebody do so much, and no more, with the own log; False when that is nothing and their rights have ended.

    It must be somebody who has rights already or is in a crew with this diver: everybody else accepts an offer first.
    Raises NotFound, or Refused when there are too many.
    """
    wanted = access.whole(rights)
    with store.transaction():
        feed_id = feeds.log_feed(user_id)
        other = _other(user_id, person)
        has = feeds.find_membership(feed_id, other.user_id)
        if has is None and other.user_id not in _mates(user_id):
            raise NotFound
        if has is None and wanted:
            _check_room(feed_id, other)
        if wanted:
            feeds.put_member(feed_id, other.user_id, wanted, stamp(now))
        elif has is not None:
            feeds.remove_member(feed_id, other.user_id)
        if has is not None or wanted:
            _tell(user_id, other, "rights_changed" if wanted else "rights_ended", now)
    return bool(wanted)


def end(user_id: int, person: str, now: datetime) -> None:
    """End every right of somebody on the own log; raises NotFound when they have none."""
    with store.transaction():
        other = _other(user_id, person)
        if not feeds.remove_member(feeds.log_feed(user_id), other.user_id):
            raise NotFound
        _tell(user_id, other, "rights_ended", now)


def leave(user_id: int, feed: str, now: datetime) -> None:
    """Give up every right on somebody's log; raises NotFound when there is none."""
    with store.transaction():
        found = feeds.find_feed(feed)
        if found is None or found.kind == CREW or not feeds.remove_member(found.id, user_id):
            raise NotFound
        events.note(user_id, "rights_given_up", now)
        events.note(found.owner_id, "rights_ended", now)


def in_order(rights: Iterable[str]) -> tuple[str, ...]:
    """Return rights in the order in which they build upon each other."""
    held = set(rights)
    return tuple(right for right in access.RIGHTS if right in held)


def _mates(user_id: int) -> dict[int, Person]:
    """Return who is in a crew with this diver, by number."""
    found: dict[int, Person] = {}
    for granted in access.of_others(user_id):
        if granted.is_crew:
            everyone = [feeds.person_of(granted.feed.owner_id), *feeds.people(granted.feed.id)]
            found |= {one.user_id: one for one in everyone if one.user_id != user_id}
    return found


def _other(user_id: int, person: str) -> Person:
    other = feeds.find_person(person)
    if other is None or other.user_id == user_id:
        raise NotFound
    return other


def _check_room(feed_id: int, other: Person) -> None:
    if len(feeds.members(feed_id)) >= MOST_MEMBERS:
        raise Refused([FULL])
    check_feeds(other.user_id)


def _tell(user_id: int, other: Person, what: str, now: datetime) -> None:
    """Note it for both: each sees what is shared."""
    events.note(user_id, what, now)
    events.note(other.user_id, f"my_{what}", now)
