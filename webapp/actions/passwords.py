"""Passwords: the change of one, and the two ways back when it is lost."""

import secrets
from datetime import datetime, timedelta

from werkzeug.security import generate_password_hash

from webapp import store
from webapp.actions import accounts, events
from webapp.actions.password_rules import faults
from webapp.actions.times import stamp
from webapp.actions.tokens import hashed, make_token
from webapp.rulebook.faults import Fault, Refused
from webapp.store import links, offers, passkeys, users, ways_back
from webapp.store.values import User

RESET_HOURS = 24
LETTERS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"  # Crockford's: none looks like another
READ_AS = str.maketrans("OIL", "011")
GROUPS, GROUP = 5, 5  # 25 letters of 5 bits: more than 112, so that a fast hash is enough
RESET, RECOVERY = "reset", "recovery"
ENDS = ("passkeys_too", "links_too", "invitations_too", "offers_too")
NO_LINK = "The link is used or out of date: ask the person who runs this server for a new one"
NO_CODE = "Name or recovery code is wrong"


class WrongWayBack(Refused):
    """There is no such link or code: whoever guesses must wait."""


def change(user_id: int, old: str, new: str, now: datetime, this_sign_in: str | None, **ends: bool) -> None:
    """Change the password and end the other sign-ins, and what `ends` names; raises Refused with every fault."""
    user, found = accounts.get_user(user_id), []
    if not accounts.is_password(user_id, old):
        accounts.note_refused(user_id, now)
        found.append(Fault("old_password", "is wrong"))
    found += faults(new, "new_password", user.name if user else "")
    if found:
        raise Refused(found)
    password_hash = generate_password_hash(new, accounts.METHOD)
    with store.transaction():
        users.set_password(user_id, password_hash)
        users.end_sign_ins(user_id, hashed(this_sign_in) if this_sign_in else None)
        ways_back.end_ways_back(user_id, RESET)
        events.note(user_id, "password_changed", now)
        _end_more(user_id, now, **ends)


def end_more(user_id: int, now: datetime, **ends: bool) -> None:
    """End what else leads into the account or was given to others, as `ENDS` names it."""
    with store.transaction():
        _end_more(user_id, now, **ends)


def _end_more(
    user_id: int,
    now: datetime,
    *,
    links_too: bool = False,
    invitations_too: bool = False,
    passkeys_too: bool = False,
    offers_too: bool = False,
) -> None:
    if passkeys_too and passkeys.remove_passkeys(user_id):
        events.note(user_id, "passkey_removed", now)
    if links_too and links.revoke_links(user_id):
        events.note(user_id, "links_revoked", now)
    if invitations_too and users.end_invitations(user_id):
        events.note(user_id, "invitations_ended", now)
    if offers_too and offers.remove_offers(user_id):
        events.note(user_id, "offers_taken_back", now)


def make_reset(user_id: int, now: datetime) -> str:
    """Make the token of a link for a new password: for one use, within a day; the one before it ends."""
    token = make_token()
    with store.transaction():
        ways_back.add_way_back(user_id, RESET, hashed(token), stamp(now), stamp(now + timedelta(hours=RESET_HOURS)))
        events.note(user_id, "reset_made", now)
    return token


def make_recovery(user_id: int, now: datetime) -> str:
    """Make a recovery code, which is shown once; the one before it ends."""
    code = "-".join("".join(secrets.choice(LETTERS) for _ in range(GROUP)) for _ in range(GROUPS))
    with store.transaction():
        ways_back.add_way_back(user_id, RECOVERY, hashed(_plain(code)), stamp(now))
        events.note(user_id, "recovery_made", now)
    return code


def has_recovery(user_id: int) -> bool:
    """Tell whether a diver has a recovery code."""
    with store.reading():
        return ways_back.has_way_back(user_id, RECOVERY)


def is_reset(token: str, now: datetime) -> bool:
    """Tell whether a link for a new password can still be used."""
    with store.reading():
        return ways_back.find_way_back(RESET, hashed(token), stamp(now)) is not None


def reset(token: str, new: str, now: datetime) -> User:
    """Set a new password by a link of the operator; every sign-in and passkey ends. Raises Refused or WrongWayBack."""
    return _set(RESET, hashed(token), "", new, now, WrongWayBack([Fault("", NO_LINK)]))


def recover(name: str, code: str, new: str, now: datetime) -> User:
    """Set a new password by name and recovery code; sign-ins, passkeys and code end. Raises as `reset`."""
    return _set(RECOVERY, hashed(_plain(code)), accounts.key_of(name), new, now, WrongWayBack([Fault("", NO_CODE)]))


def _set(kind: str, token_hash: str, name_key: str, new: str, now: datetime, wrong: Refused) -> User:
    found = faults(new, "new_password")
    if found:
        raise Refused(found)
    password_hash = generate_password_hash(new, accounts.METHOD)
    with store.transaction():
        user_id = ways_back.find_way_back(kind, token_hash, stamp(now))
        user = users.get_user(user_id)
        if user is None or (kind == RECOVERY and accounts.key_of(user.name) != name_key):
            raise wrong
        for one in (RESET, RECOVERY) if kind == RECOVERY else (RESET,):
            ways_back.end_ways_back(user.id, one)
        users.set_password(user.id, password_hash)
        users.end_sign_ins(user.id)
        passkeys.remove_passkeys(user.id)  # whoever had the account may have added one
        events.note(user.id, "password_recovered" if kind == RECOVERY else "password_reset", now)
    return user


def _plain(code: str) -> str:
    """Return a code as it is compared: without spaces and dashes, look-alikes read as the letter that is meant."""
    return "".join(letter for letter in code.upper().translate(READ_AS) if letter.isalnum())
