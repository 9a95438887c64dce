"""Offers: links by which a diver gives somebody rights on the log, or lets people into a crew.

An offer on a log is for one use and ends at the latest after a month; one of a crew serves everybody who gets it until
it ends or is taken back. What it gives is shown before it is accepted.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from webapp import store
from webapp.actions import access, events
from webapp.actions.errors import NotFound
from webapp.actions.times import stamp
from webapp.actions.tokens import hashed, make_token
from webapp.protocol.envelope import MOST_FEEDS
from webapp.protocol.kinds import CREW
from webapp.rulebook.faults import Fault, Refused
from webapp.store import feeds
from webapp.store import offers as rows
from webapp.store.values import Feed, Offer

ENDS_DAYS = (1, 7, 30)
LABEL_LONGEST = 80
MOST_OFFERS = 20  # open at once, of one feed
MOST_MEMBERS = 60  # of one crew, or with rights on one log
NO_RIGHT = Fault("rights", "are missing: choose at least one")
OWN_OFFER = Fault("", "This is your own link: send it to the other person")
FULL = Fault("", "There is no room for more people: ask whoever sent the link")
TOO_MANY = Fault("", f"At most {MOST_FEEDS} logs and crews can be open to one diver: leave one first")


@dataclass(frozen=True)
class Offered:
    """What a link offers: rights on the log of `by`, or a place in the crew of this title."""

    by: str
    title: str
    is_crew: bool
    rights: tuple[str, ...]
    ends_at: str
    is_own: bool
    has_all: bool


def offer_log(user_id: int, rights: Iterable[str], label: str, days: int, now: datetime) -> str:
    """Offer rights on the own log to whoever gets the link, once; return its token, which is not kept."""
    wanted = access.whole(rights)
    if not wanted:
        raise Refused([NO_RIGHT])
    with store.transaction():
        return make(user_id, feeds.log_feed(user_id), wanted, label, days, now)


def make(user_id: int, feed_id: int, rights: frozenset[str], label: str, days: int, now: datetime) -> str:
    """Make an offer on a feed of this diver in the open transaction and return its token."""
    if days not in ENDS_DAYS:
        raise Refused([Fault("days", "must be one of the choices")])
    if len(label) > LABEL_LONGEST or not (label.isprintable() or not label):
        raise Refused([Fault("label", f"must be plain text of at most {LABEL_LONGEST} characters")])
    if len(rows.list_offers(feed_id, stamp(now))) >= MOST_OFFERS:
        raise Refused([Fault("", f"There are {MOST_OFFERS} open links already: take one back first")])
    token = make_token()
    rows.add_offer(feed_id, hashed(token), rights, label, stamp(now), stamp(now + timedelta(days=days)))
    events.note(user_id, "offer_made", now)
    return token


def open_offers(user_id: int, now: datetime) -> list[Offer]:
    """Return the open offers on a diver's log."""
    with store.reading():
        return rows.list_offers(feeds.log_feed(user_id), stamp(now))


def count_open(user_id: int, now: datetime) -> int:
    """Return how many offers of a diver are open, on the log and of crews."""
    with store.reading():
        own = [feeds.log_feed(user_id), *(feed.id for feed in feeds.own_crews(user_id))]
        return sum(len(rows.list_offers(feed_id, stamp(now))) for feed_id in own)


def take_back(user_id: int, offer_id: int, now: datetime) -> None:
    """Take an offer on the own log back; raises NotFound when there is no such open one."""
    with store.transaction():
        remove(user_id, feeds.log_feed(user_id), offer_id, now)


def remove(user_id: int, feed_id: int, offer_id: int, now: datetime) -> None:
    """Take an offer of this feed back in the open transaction; raises NotFound when there is no such open one."""
    if not rows.remove_offer(feed_id, offer_id):
        raise NotFound
    events.note(user_id, "offer_taken_back", now)


def look(user_id: int, token: str, now: datetime) -> Offered:
    """Return what a link offers to this diver; raises NotFound for one that does not work."""
    with store.reading():
        offer, feed = _found(token, now)
        has = _rights(feed, user_id)
        rights = tuple(right for right in access.RIGHTS if right in offer.rights)
        by = feeds.person_of(feed.owner_id).name
        own = feed.owner_id == user_id
        return Offered(by, feed.title, feed.kind == CREW, rights, offer.ends_at, own, offer.rights <= has)


def accept(user_id: int, token: str, now: datetime) -> Feed:
    """Take what a link offers, beside what this diver has already; return the feed. Raises NotFound or Refused."""
    with store.transaction():
        offer, feed = _found(token, now)
        if feed.owner_id == user_id:
            raise Refused([OWN_OFFER])
        has = _rights(feed, user_id)
        if not has:
            _check_room(feed, user_id)
        if feed.kind != CREW and not rows.use_offer(offer.id, stamp(now)):
            raise NotFound
        feeds.put_member(feed.id, user_id, has | offer.rights, stamp(now))
        events.note(feed.owner_id, "crew_joined" if feed.kind == CREW else "offer_used", now)
        events.note(user_id, "joined_crew" if feed.kind == CREW else "offer_accepted", now)
        return feed


def _found(token: str, now: datetime) -> tuple[Offer, Feed]:
    offer = rows.find_offer(hashed(token), stamp(now))
    feed = feeds.get_feed(offer.feed_id) if offer else None
    if offer is None or feed is None:
        raise NotFound
    return offer, feed


def _rights(feed: Feed, user_id: int) -> frozenset[str]:
    member = feeds.find_membership(feed.id, user_id)
    return member.rights if member else frozenset()


def _check_room(feed: Feed, user_id: int) -> None:
    if len(feeds.members(feed.id)) >= MOST_MEMBERS:
        raise Refused([FULL])
    check_feeds(user_id)


def check_feeds(user_id: int) -> None:
    """Raise Refused when no further feed can be open to this diver: a phone asks for all of them at once."""
    if len(access.of_others(user_id)) >= MOST_FEEDS:
        raise Refused([TOO_MANY])
