"""The links given to buddies."""

from typing import Any

from webapp.store.sqlite.database import fits
from webapp.store.tables import ShareLink
from webapp.store.values import Link


def add_link(user_id: int, token_hash: str, label: str, at: str, expires_at: str | None = None, **shows: bool) -> None:
    """Add a link that ends at this moment, or never; `shows` are `shows_over` and `shows_crew`."""
    ShareLink.create(user_id=user_id, token_hash=token_hash, label=label, made_at=at, expires_at=expires_at, **shows)


def list_links(user_id: int) -> list[Link]:
    """Return a diver's links that are not revoked, the oldest first."""
    own = (ShareLink.user_id == user_id) & ~ShareLink.revoked
    return [_link(row) for row in ShareLink.select().where(own).order_by(ShareLink.id)]


def find_link(token_hash: str, at: str) -> Link | None:
    """Return the link of this token, or None when there is none, it was revoked, or has ended."""
    open_ = ShareLink.expires_at.is_null() | (ShareLink.expires_at > at)
    row = ShareLink.get_or_none((ShareLink.token_hash == token_hash) & ~ShareLink.revoked & open_)
    return _link(row) if row else None


def touch_link(link_id: int, at: str) -> None:
    """Note that a link was used."""
    ShareLink.update(seen_at=at).where(ShareLink.id == link_id).execute()


def revoke_link(user_id: int, link_id: int) -> bool:
    """Revoke a link; False when this diver has no such open link."""
    wanted = (ShareLink.user_id == user_id) & (ShareLink.id == link_id) & ~ShareLink.revoked
    return fits(link_id) and bool(ShareLink.update(revoked=True).where(wanted).execute())


def revoke_links(user_id: int) -> int:
    """Revoke every link of a diver and return how many there were."""
    own = (ShareLink.user_id == user_id) & ~ShareLink.revoked
    return int(ShareLink.update(revoked=True).where(own).execute())


def _link(row: Any) -> Link:
    shows = row.shows_over, row.shows_crew
    return Link(row.id, row.user_id, row.label, row.made_at, row.seen_at, row.expires_at, *shows)
