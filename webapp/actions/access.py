"""Who may do what with a feed: this module alone says so.

The owner of a feed may do everything with it. Everybody else has the rights that the owner gave to them by name, and
nobody learns of a feed that is not open to them. Owner and members of a crew may read and write all of its list; being
in a crew gives no right on anybody's log.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from webapp.actions.errors import NotFound
from webapp.protocol.kinds import CREW, KINDS
from webapp.store import feeds
from webapp.store.values import Feed

LIST, LOG, WRITE, PROPOSE = "list", "log", "write", "propose"
RIGHTS = {
    LIST: "see the list of the day",
    LOG: "read the log, with what was reported after each dive",
    WRITE: "log a dive for me",
    PROPOSE: "propose a change",
}
HELD = {**RIGHTS, WRITE: "log a dive for them"}  # as whoever has the right reads it
NEEDS = {LOG: LIST, WRITE: LIST, PROPOSE: LOG}  # nobody can propose without having read
READER = "coach"  # how the table of kinds calls whoever may read a log
WRITES = {WRITE: "dive", PROPOSE: "proposal"}  # the one kind that each of these rights is about
OF_CREW = frozenset({CREW})  # the one right of a crew's members: everything in its list, and nothing else


@dataclass(frozen=True)
class Granted:
    """A feed with what one diver may do with it."""

    feed: Feed
    rights: frozenset[str]
    is_own: bool = False

    def may(self, right: str) -> bool:
        """Tell whether this right was given."""
        return self.is_own or right in self.rights

    @property
    def is_crew(self) -> bool:
        """Tell whether it is the list of a crew."""
        return self.feed.kind == CREW

    def may_read_any(self) -> bool:
        """Tell whether there is anything in it that may be read."""
        return self.is_own or bool(self.rights & {LOG, CREW})

    def may_read(self, kind: str) -> bool:
        """Tell whether records of this kind may be read."""
        return self.is_own or self.is_crew or (LOG in self.rights and READER in KINDS[kind].shared_with)

    def may_write(self, kind: object) -> bool:
        """Tell whether records of this kind may be written; that they belong into this feed is checked later."""
        return self.is_own or self.is_crew or any(WRITES.get(right) == kind for right in self.rights)

    def shown(self, kind: str, fields: Mapping[str, Any]) -> dict[str, Any]:
        """Return the fields that may be read: what a kind names as private stays with its diver."""
        hidden = frozenset() if self.is_own else KINDS[kind].private
        return {name: value for name, value in fields.items() if name not in hidden}


def whole(rights: Iterable[str]) -> frozenset[str]:
    """Return the rights with those that they need; a word that is no right is left out."""
    found = {right for right in rights if right in RIGHTS}
    while missing := {NEEDS[right] for right in found if right in NEEDS} - found:
        found |= missing
    return frozenset(found)


def granted(user_id: int, name: str) -> Granted:
    """Return what a diver may do with the feed of this name; raises NotFound when that is nothing."""
    feed = feeds.find_feed(name)
    if feed is None:
        raise NotFound
    if feed.owner_id == user_id:
        return Granted(feed, OF_CREW if feed.kind == CREW else frozenset(RIGHTS), is_own=True)
    member = feeds.find_membership(feed.id, user_id)
    if member is None:
        raise NotFound
    return Granted(feed, member.rights)


def of_others(user_id: int) -> list[Granted]:
    """Return the feeds beside their own log that a diver may use: own crews, then others in the order of coming."""
    own = [Granted(feed, OF_CREW, is_own=True) for feed in feeds.own_crews(user_id)]
    return own + [Granted(feed, member.rights) for feed, member in feeds.memberships(user_id)]
