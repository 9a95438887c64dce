"""Passkeys: the public half of each, by the browser's own id of it."""

from typing import Any

from webapp.store.tables import PasskeyRow
from webapp.store.values import Passkey


def add_passkey(user_id: int, credential: str, public_key: str, sign_count: int, label: str, at: str) -> None:
    """Add a passkey."""
    given = {"credential": credential, "public_key": public_key, "sign_count": sign_count, "label": label}
    PasskeyRow.create(user_id=user_id, made_at=at, **given)


def list_passkeys(user_id: int) -> list[Passkey]:
    """Return a diver's passkeys, the oldest first."""
    return [_passkey(row) for row in PasskeyRow.select().where(PasskeyRow.user_id == user_id).order_by(PasskeyRow.id)]


def find_passkey(credential: str) -> Passkey | None:
    """Return the passkey of this id, or None."""
    row = PasskeyRow.get_or_none(PasskeyRow.credential == credential)
    return _passkey(row) if row else None


def touch_passkey(passkey_id: int, sign_count: int, at: str) -> None:
    """Note that a passkey was used, and its count."""
    PasskeyRow.update(sign_count=sign_count, seen_at=at).where(PasskeyRow.id == passkey_id).execute()


def remove_passkey(user_id: int, passkey_id: int) -> bool:
    """Remove a passkey; False when this diver has no such one."""
    wanted = (PasskeyRow.user_id == user_id) & (PasskeyRow.id == passkey_id)
    return bool(PasskeyRow.delete().where(wanted).execute())


def remove_passkeys(user_id: int) -> int:
    """Remove every passkey of a diver and return how many there were."""
    return int(PasskeyRow.delete().where(PasskeyRow.user_id == user_id).execute())


def _passkey(row: Any) -> Passkey:
    return Passkey(
        row.id, row.user_id, row.credential, row.public_key, row.sign_count, row.label, row.made_at, row.seen_at
    )
