"""Offers: links by which somebody gets rights on a feed. Their tokens come in and are kept as hashes only."""

import json
from typing import Any

from webapp.store.sqlite.database import execute, fits
from webapp.store.tables import OfferRow
from webapp.store.values import Offer


def add_offer(feed_id: int, token_hash: str, rights: frozenset[str], label: str, at: str, ends_at: str) -> None:
    """Add an offer that ends at this moment."""
    plain = json.dumps(sorted(rights))
    OfferRow.create(feed_id=feed_id, token_hash=token_hash, rights=plain, label=label, made_at=at, ends_at=ends_at)


def find_offer(token_hash: str, at: str) -> Offer | None:
    """Return the offer of this token, or None when there is none, it was used, or it has ended."""
    row = OfferRow.get_or_none((OfferRow.token_hash == token_hash) & _is_open(at))
    return _offer(row) if row else None


def list_offers(feed_id: int, at: str) -> list[Offer]:
    """Return the open offers of a feed, the oldest first."""
    rows = OfferRow.select().where((OfferRow.feed_id == feed_id) & _is_open(at)).order_by(OfferRow.id)
    return [_offer(row) for row in rows]


def use_offer(offer_id: int, at: str) -> bool:
    """Mark an offer as used; False when somebody else was faster."""
    wanted = (OfferRow.id == offer_id) & OfferRow.used_at.is_null()
    return bool(OfferRow.update(used_at=at).where(wanted).execute())


def remove_offer(feed_id: int, offer_id: int) -> bool:
    """Take an offer of this feed back; False when it has none of this number."""
    wanted = (OfferRow.feed_id == feed_id) & (OfferRow.id == offer_id) & OfferRow.used_at.is_null()
    return fits(offer_id) and bool(OfferRow.delete().where(wanted).execute())


def remove_offers(owner_id: int) -> int:
    """Take every open offer of a diver back, on their log and of their crews, and return how many there were."""
    own = "SELECT id FROM feed WHERE owner_id = ?"
    return int(execute(f"DELETE FROM offer WHERE used_at IS NULL AND feed_id IN ({own})", (owner_id,)).rowcount)  # noqa: S608


def _is_open(at: str) -> Any:
    return OfferRow.used_at.is_null() & (OfferRow.ends_at > at)


def _offer(row: Any) -> Offer:
    return Offer(row.id, row.feed_id, frozenset(json.loads(row.rights)), row.label, row.made_at, row.ends_at)
