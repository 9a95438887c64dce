"""Ways back into an account: links of the operator and recovery codes, kept as hashes only."""

from webapp.store.tables import WayBack


def add_way_back(user_id: int, kind: str, token_hash: str, at: str, ends_at: str | None = None) -> None:
    """Add a token of this kind; it replaces the diver's earlier ones."""
    end_ways_back(user_id, kind)
    WayBack.create(user_id=user_id, kind=kind, token_hash=token_hash, made_at=at, ends_at=ends_at)


def find_way_back(kind: str, token_hash: str, at: str) -> int | None:
    """Return the id of the diver whose token this is, or None if nobody has it or it has expired."""
    open_ = WayBack.ends_at.is_null() | (WayBack.ends_at > at)
    row = WayBack.get_or_none((WayBack.kind == kind) & (WayBack.token_hash == token_hash) & open_)
    return int(row.user_id) if row else None


def has_way_back(user_id: int, kind: str) -> bool:
    """Tell whether a diver has a token of this kind."""
    return bool(WayBack.select().where((WayBack.user_id == user_id) & (WayBack.kind == kind)).exists())


def end_ways_back(user_id: int, kind: str) -> None:
    """Delete every token of this kind that the diver has."""
    WayBack.delete().where((WayBack.user_id == user_id) & (WayBack.kind == kind)).execute()
