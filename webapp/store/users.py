"""Divers, invitations, sign-ins and phones. Tokens come in and are kept as hashes only.

What every request asks is written in SQL: Peewee takes longer to build such a query than SQLite to answer it.
"""

from typing import Any, NamedTuple

from webapp.store import feeds
from webapp.store.sqlite.database import execute, fits
from webapp.store.tables import Invitation, Phone, SignInRow, UserRow
from webapp.store.values import SignIn, User


class Secret(NamedTuple):
    """A diver with the hash of their password."""

    user: User
    password_hash: str


def count_users() -> int:
    """Return how many divers have an account."""
    return int(UserRow.select().count())


def add_user(name: str, name_key: str, password_hash: str, at: str) -> User:
    """Add a diver, with the feed of their log."""
    row = UserRow.create(name=name, name_key=name_key, password_hash=password_hash, created_at=at)
    feeds.add_feed(feeds.LOG, row.id, at)
    return _user(row)


def get_user(user_id: object) -> User | None:
    """Return the diver, or None."""
    if not isinstance(user_id, int) or not fits(user_id):
        return None
    row = execute("SELECT id, name, created_at, utc_offset_min FROM user WHERE id = ?", (user_id,)).fetchone()
    return User(*row) if row else None


def find_user(name_key: str) -> Secret | None:
    """Return the diver of this name with the password's hash, or None."""
    row = UserRow.get_or_none(UserRow.name_key == name_key)
    return Secret(_user(row), row.password_hash) if row else None


def find_secret(user_id: int) -> Secret | None:
    """Return the diver with the password's hash, or None."""
    row = UserRow.get_or_none(UserRow.id == user_id)
    return Secret(_user(row), row.password_hash) if row else None


def set_password(user_id: int, password_hash: str) -> None:
    """Replace the password's hash."""
    UserRow.update(password_hash=password_hash).where(UserRow.id == user_id).execute()


def delete_user(user_id: int) -> None:
    """Delete a diver and, by the foreign keys, everything that belongs to them; SQLite overwrites it with zeros."""
    UserRow.delete().where(UserRow.id == user_id).execute()


def add_invitation(user_id: int, token_hash: str, at: str) -> None:
    """Add an invitation made by this diver."""
    Invitation.create(user_id=user_id, token_hash=token_hash, created_at=at)


def count_invitations(user_id: int, made_after: str) -> int:
    """Return how many unused invitations this diver made after this moment."""
    open_ = Invitation.used_at.is_null() & (Invitation.created_at > made_after)
    return int(Invitation.select().where((Invitation.user_id == user_id) & open_).count())


def end_invitations(user_id: int) -> int:
    """Delete every unused invitation of a diver and return how many there were."""
    own = (Invitation.user_id == user_id) & Invitation.used_at.is_null()
    return int(Invitation.delete().where(own).execute())


def use_invitation(token_hash: str, made_after: str, at: str) -> bool:
    """Mark an invitation as used; False when there is none, it was used before, or it is too old."""
    open_ = (Invitation.token_hash == token_hash) & Invitation.used_at.is_null() & (Invitation.created_at > made_after)
    return bool(Invitation.update(used_at=at).where(open_).execute())


def add_sign_in(user_id: int, token_hash: str, at: str) -> None:
    """Add a sign-in."""
    SignInRow.create(user_id=user_id, token_hash=token_hash, created_at=at, seen_at=at)


def find_sign_in(token_hash: str) -> SignIn | None:
    """Return the sign-in of this token, or None."""
    sql = "SELECT id, user_id, created_at, seen_at FROM sign_in WHERE token_hash = ?"
    row = execute(sql, (token_hash,)).fetchone()
    return SignIn(*row) if row else None


def touch_sign_in(sign_in_id: int, at: str) -> None:
    """Note that a sign-in was seen."""
    SignInRow.update(seen_at=at).where(SignInRow.id == sign_in_id).execute()


def end_sign_in(token_hash: str) -> None:
    """End one sign-in."""
    SignInRow.delete().where(SignInRow.token_hash == token_hash).execute()


def end_sign_ins(user_id: int, but: str | None = None) -> int:
    """End every sign-in of a diver, but that of this token's hash, and return how many there were."""
    own = SignInRow.user_id == user_id
    return int(SignInRow.delete().where(own & (SignInRow.token_hash != but) if but else own).execute())


def note_phone(user_id: int, device: str, utc_offset_min: int, at: str) -> None:
    """Note that this device synced now, and how far its clock is from UTC."""
    put = "INSERT INTO phone (user_id, device, first_at, last_at) VALUES (?, ?, ?, ?)"
    execute(f"{put} ON CONFLICT (user_id, device) DO UPDATE SET last_at = excluded.last_at", (user_id, device, at, at))
    moved = "UPDATE user SET utc_offset_min = ? WHERE id = ? AND utc_offset_min != ?"
    execute(moved, (utc_offset_min, user_id, utc_offset_min))


def knows_phone(user_id: int, device: str, utc_offset_min: int, since: str) -> bool:
    """Tell whether this device synced after this moment, with the same distance from UTC."""
    sql = "SELECT 1 FROM phone JOIN user ON user.id = phone.user_id WHERE user_id = ? AND device = ? AND last_at > ?"
    return bool(execute(f"{sql} AND utc_offset_min = ?", (user_id, device, since, utc_offset_min)).fetchone())


def last_sync(user_id: int) -> str | None:
    """Return when any device of this diver last synced, or None."""
    last = Phone.select(Phone.last_at).where(Phone.user_id == user_id).order_by(Phone.last_at.desc()).first()
    return str(last.last_at) if last else None


def _user(row: Any) -> User:
    return User(row.id, row.name, row.created_at, row.utc_offset_min)
