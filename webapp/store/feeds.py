"""Feeds of records and who else may use them: the log of each diver is one."""

import json
from typing import Any
from uuid import uuid4

from webapp.store.sqlite.database import execute
from webapp.store.tables import FeedRow, Member
from webapp.store.values import Feed, Membership, Person

LOG, CREW = "log", "crew"


def add_feed(kind: str, owner_id: int, at: str, title: str = "") -> Feed:
    """Add an empty feed of this diver; each diver has one log."""
    return _feed(FeedRow.create(name=str(uuid4()), kind=kind, owner_id=owner_id, made_at=at, title=title))


def log_feed(user_id: int) -> int:
    """Return the id of the feed that is a diver's own log; every diver has one."""
    sql = "SELECT id FROM feed WHERE owner_id = ? AND kind = 'log'"
    return int(execute(sql, (user_id,)).fetchone()[0])


def log_name(user_id: int) -> str:
    """Return what phones call a diver's own log, and by that this diver in the records of a crew."""
    return str(execute("SELECT name FROM feed WHERE owner_id = ? AND kind = 'log'", (user_id,)).fetchone()[0])


def crews_of(user_id: int) -> list[Feed]:
    """Return the crews that this diver made or is a member of, the oldest first."""
    joined = Member.select(Member.feed_id).where(Member.user_id == user_id)
    own = (FeedRow.owner_id == user_id) | FeedRow.id.in_(joined)
    return [_feed(row) for row in FeedRow.select().where((FeedRow.kind == CREW) & own).order_by(FeedRow.id)]


def find_feed(name: str) -> Feed | None:
    """Return the feed of this name, or None."""
    row = FeedRow.get_or_none(FeedRow.name == name)
    return _feed(row) if row else None


def get_feed(feed_id: int) -> Feed | None:
    """Return the feed of this number, or None."""
    row = FeedRow.get_or_none(FeedRow.id == feed_id)
    return _feed(row) if row else None


def own_crews(user_id: int) -> list[Feed]:
    """Return the crews that are this diver's, the oldest first."""
    own = (FeedRow.owner_id == user_id) & (FeedRow.kind == CREW)
    return [_feed(row) for row in FeedRow.select().where(own).order_by(FeedRow.id)]


def set_title(feed_id: int, title: str) -> None:
    """Give a crew another title."""
    FeedRow.update(title=title).where(FeedRow.id == feed_id).execute()


def set_owner(feed_id: int, user_id: int) -> None:
    """Make this diver the owner of a feed; as a member they go."""
    FeedRow.update(owner_id=user_id).where(FeedRow.id == feed_id).execute()
    remove_member(feed_id, user_id)


def delete_feed(feed_id: int) -> None:
    """Delete a feed with everything in it."""
    FeedRow.delete().where(FeedRow.id == feed_id).execute()


_PERSON = "SELECT user.id, log.name, user.name{} FROM user JOIN feed log ON log.owner_id = user.id AND log.kind = 'log'"


def person_of(user_id: int) -> Person:
    """Return a diver as others see them."""
    return Person(*execute(f"{_PERSON.format('')} WHERE user.id = ?", (user_id,)).fetchone())


def find_person(person: str) -> Person | None:
    """Return the diver whose log has this name, or None."""
    row = execute(f"{_PERSON.format('')} WHERE log.name = ?", (person,)).fetchone()
    return Person(*row) if row else None


def people(feed_id: int) -> list[Person]:
    """Return who else may use a feed, in the order in which they came."""
    sql = _PERSON.format(", rights, since") + " JOIN member ON member.user_id = user.id WHERE member.feed_id = ?"
    rows = execute(f"{sql} ORDER BY since, user.id", (feed_id,))
    return [
        Person(number, person, name, frozenset(json.loads(rights)), since)
        for number, person, name, rights, since in rows
    ]


def put_member(feed_id: int, user_id: int, rights: frozenset[str], at: str) -> None:
    """Let this diver do so much, and no more, with a feed; since when they are a member stays."""
    put = "INSERT INTO member (feed_id, user_id, rights, since) VALUES (?, ?, ?, ?)"
    also = "ON CONFLICT (feed_id, user_id) DO UPDATE SET rights = excluded.rights"
    execute(f"{put} {also}", (feed_id, user_id, json.dumps(sorted(rights)), at))


def remove_member(feed_id: int, user_id: int) -> bool:
    """End a membership; False when there was none."""
    wanted = (Member.feed_id == feed_id) & (Member.user_id == user_id)
    return bool(Member.delete().where(wanted).execute())


def members(feed_id: int) -> list[Membership]:
    """Return who else may use a feed, in the order in which they came."""
    rows = Member.select().where(Member.feed_id == feed_id).order_by(Member.since, Member.user_id)
    return [_membership(row) for row in rows]


def memberships(user_id: int) -> list[tuple[Feed, Membership]]:
    """Return the feeds of others that this diver may use, in the order in which they came to them."""
    rows = Member.select().where(Member.user_id == user_id).order_by(Member.since, Member.feed_id)
    found = [_membership(row) for row in rows]
    feeds = {row.id: _feed(row) for row in FeedRow.select().where(FeedRow.id.in_([one.feed_id for one in found]))}
    return [(feeds[one.feed_id], one) for one in found]


def find_membership(feed_id: int, user_id: int) -> Membership | None:
    """Return what this diver may do with a feed of another one, or None."""
    row = Member.get_or_none((Member.feed_id == feed_id) & (Member.user_id == user_id))
    return _membership(row) if row else None


def _feed(row: Any) -> Feed:
    return Feed(row.id, row.name, row.kind, row.owner_id, row.title)


def _membership(row: Any) -> Membership:
    return Membership(row.feed_id, row.user_id, frozenset(json.loads(row.rights)), row.since)
