"""What the store hands out: frozen values, never rows. Times are ISO text in UTC, `2030-06-01T08:00:00Z`."""

from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class User:
    """A diver with an account; the offset of their clock from UTC as their phone last sent it."""

    id: int
    name: str
    created_at: str
    utc_offset_min: int


@dataclass(frozen=True)
class Feed:
    """A feed of records: its kind is "log" or "crew"; `name` is the UUID that phones call it by.

    `title` is what a crew calls itself; a log has none.
    """

    id: int
    name: str
    kind: str
    owner_id: int
    title: str = ""


@dataclass(frozen=True)
class Membership:
    """What a diver may do with a feed of another one, and since when."""

    feed_id: int
    user_id: int
    rights: frozenset[str]
    since: str


@dataclass(frozen=True)
class Person:
    """A diver as others see them: `person` is the name of their log, by which nothing can be opened."""

    user_id: int
    person: str
    name: str
    rights: frozenset[str] = frozenset()
    since: str = ""


@dataclass(frozen=True)
class Offer:
    """A link by which somebody gets these rights on a feed, until it ends; the token itself is not kept."""

    id: int
    feed_id: int
    rights: frozenset[str]
    label: str
    made_at: str
    ends_at: str


@dataclass(frozen=True)
class SignIn:
    """A sign-in of one browser."""

    id: int
    user_id: int
    created_at: str
    seen_at: str


@dataclass(frozen=True)
class Passkey:
    """A key in a phone or computer that signs a diver in: its id and public half as base64url."""

    id: int
    user_id: int
    credential: str
    public_key: str
    sign_count: int
    label: str
    made_at: str
    seen_at: str | None


@dataclass(frozen=True)
class Event:
    """Something that happened with an account, as a word of `actions.events`."""

    at: str
    what: str


@dataclass(frozen=True)
class SeasonRow:
    """A season: `raw` is its JSON as the diver gave it."""

    id: int
    name: str
    active: bool
    raw: dict[str, Any]
    changed_at: str
    deleted: bool = False


@dataclass(frozen=True)
class Link:
    """A link given to a buddy, until it is taken back or until `expires_at`; the token itself is not kept.

    `shows_over`: a buddy sees that the day is over; `shows_crew`: the order of diving of the diver's crews.
    """

    id: int
    user_id: int
    label: str
    made_at: str
    seen_at: str | None
    expires_at: str | None = None
    shows_over: bool = False
    shows_crew: bool = False
