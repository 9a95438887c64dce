"""Crews: made by anyone, joined by a link, handed over, and left; their list is a feed of its own."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from webapp import store
from webapp.actions import access, events, offers
from webapp.actions.access import Granted
from webapp.actions.errors import NotFound
from webapp.actions.times import stamp
from webapp.protocol.kinds import CREW
from webapp.protocol.values import Entry
from webapp.rulebook.faults import Fault, Refused
from webapp.store import feeds, journal, kept_logs, users
from webapp.store import offers as offer_rows
from webapp.store.values import Feed, Offer, Person

TITLE_LONGEST = 60
MOST_CREWS = 20  # of one owner
MOST_STEPS = 500  # of a history on one page
NOT_ALONE = Fault("", "Others are in this crew: hand it over to one of them, or remove them first")
LEFT = "someone who has left"


@dataclass(frozen=True)
class Crew:
    """A crew as one of its people sees it: everybody in it, the owner first."""

    feed: Feed
    is_own: bool
    people: tuple[Person, ...]
    offers: tuple[Offer, ...] = ()


@dataclass(frozen=True)
class Step:
    """One operation on the list of a crew, and who sent it."""

    entry: Entry
    author: str


def make(user_id: int, title: str, now: datetime) -> str:
    """Make a crew and return its name; raises Refused with every fault."""
    plain = _title(title)
    with store.transaction():
        if len(feeds.own_crews(user_id)) >= MOST_CREWS:
            raise Refused([Fault("", f"You have {MOST_CREWS} crews already: hand one over or delete one first")])
        offers.check_feeds(user_id)
        made = feeds.add_feed(CREW, user_id, stamp(now), plain)
        events.note(user_id, "crew_made", now)
    return made.name


def crews(user_id: int, now: datetime) -> list[Crew]:
    """Return every crew that this diver is in, the own ones first."""
    with store.reading():
        return [_crew(granted, now) for granted in access.of_others(user_id) if granted.is_crew]


def crew(user_id: int, name: str, now: datetime) -> Crew:
    """Return one crew that this diver is in; raises NotFound."""
    with store.reading():
        return _crew(_granted(user_id, name), now)


def rename(user_id: int, name: str, title: str, now: datetime) -> None:
    """Give an own crew another title."""
    with store.transaction():
        feeds.set_title(_own(user_id, name).id, _title(title))
        events.note(user_id, "crew_renamed", now)


def invite(user_id: int, name: str, days: int, now: datetime) -> str:
    """Make a link by which people join an own crew, and return its token, which is not kept."""
    with store.transaction():
        return offers.make(user_id, _own(user_id, name).id, access.OF_CREW, "", days, now)


def take_back(user_id: int, name: str, offer_id: int, now: datetime) -> None:
    """Take such a link back: nobody joins by it from now on."""
    with store.transaction():
        offers.remove(user_id, _own(user_id, name).id, offer_id, now)


def remove(user_id: int, name: str, person: str, now: datetime) -> None:
    """Remove somebody from an own crew; raises NotFound when they are not in it."""
    with store.transaction():
        feed, member = _member(user_id, name, person)
        feeds.remove_member(feed.id, member.user_id)
        events.note(user_id, "crew_member_removed", now)
        events.note(member.user_id, "removed_from_crew", now)


def hand_over(user_id: int, name: str, person: str, now: datetime) -> None:
    """Make a member the owner of an own crew; whoever hands it over stays in it as a member."""
    with store.transaction():
        feed, member = _member(user_id, name, person)
        feeds.set_owner(feed.id, member.user_id)
        feeds.put_member(feed.id, user_id, access.OF_CREW, stamp(now))
        events.note(user_id, "crew_handed_over", now)
        events.note(member.user_id, "crew_received", now)


def leave(user_id: int, name: str, now: datetime) -> None:
    """Leave a crew of somebody else; raises NotFound, also for an own one: that is handed over or deleted."""
    with store.transaction():
        granted = _granted(user_id, name)
        if not feeds.remove_member(granted.feed.id, user_id):
            raise NotFound
        events.note(user_id, "crew_left", now)
        events.note(granted.feed.owner_id, "crew_member_left", now)


def delete(user_id: int, name: str, now: datetime) -> None:
    """Delete an own crew with its list and history; raises Refused while others are in it."""
    with store.transaction():
        feed = _own(user_id, name)
        if feeds.members(feed.id):
            raise Refused([NOT_ALONE])
        feeds.delete_feed(feed.id)
        events.note(user_id, "crew_deleted", now)


def pass_on(user_id: int, now: datetime) -> None:
    """Hand every own crew to whoever is longest in it, in the open transaction: its owner leaves for good."""
    for feed in feeds.own_crews(user_id):
        people = feeds.people(feed.id)
        if people:
            feeds.set_owner(feed.id, people[0].user_id)
            events.note(people[0].user_id, "crew_received", now)


def history(user_id: int, name: str) -> list[Step]:
    """Return the latest operations on a crew's list, the latest first; raises NotFound."""
    with store.reading():
        found = journal.latest_entries(_granted(user_id, name).feed.id, MOST_STEPS)
        people = {author: users.get_user(author) for _, author in found}
    names = {author: user.name if user else LEFT for author, user in people.items()}
    return [Step(entry, names[author]) for entry, author in found]


def exported(user_id: int) -> list[dict[str, Any]]:
    """Return the crews of a diver with everything in their lists; the caller reads."""
    return [
        {
            "title": granted.feed.title,
            "own": granted.is_own,
            "people": [one.name for one in _people(granted)],
            "records": kept_logs.log_of(granted.feed.id),
        }
        for granted in access.of_others(user_id)
        if granted.is_crew
    ]


def _granted(user_id: int, name: str) -> Granted:
    granted = access.granted(user_id, name)
    if not granted.is_crew:
        raise NotFound
    return granted


def _own(user_id: int, name: str) -> Feed:
    granted = _granted(user_id, name)
    if not granted.is_own:
        raise NotFound
    return granted.feed


def _member(user_id: int, name: str, person: str) -> tuple[Feed, Person]:
    feed = _own(user_id, name)
    found = next((one for one in feeds.people(feed.id) if one.person == person), None)
    if found is None:
        raise NotFound
    return feed, found


def _crew(granted: Granted, now: datetime) -> Crew:
    open_ = offer_rows.list_offers(granted.feed.id, stamp(now)) if granted.is_own else []
    return Crew(granted.feed, granted.is_own, tuple(_people(granted)), tuple(open_))


def _people(granted: Granted) -> list[Person]:
    return [feeds.person_of(granted.feed.owner_id), *feeds.people(granted.feed.id)]


def _title(title: str) -> str:
    plain = " ".join(title.split())
    if not plain:
        raise Refused([Fault("title", "is missing")])
    if len(plain) > TITLE_LONGEST or not plain.isprintable():
        raise Refused([Fault("title", f"must be plain text of at most {TITLE_LONGEST} characters")])
    return plain
