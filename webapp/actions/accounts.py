"""Accounts: sign up, sign in, invite; and the sign-ins of a diver's browsers, each of which can be ended."""

import unicodedata
from contextlib import suppress
from datetime import datetime, timedelta
from functools import cache

from werkzeug.security import check_password_hash, generate_password_hash

from webapp import store
from webapp.actions import events, password_rules
from webapp.actions.times import stamp
from webapp.actions.tokens import hashed, make_token
from webapp.rulebook.faults import Fault, Refused
from webapp.store import users
from webapp.store.values import SignIn, User

NAME_LONGEST = 60
INVITATION_DAYS = 30
MOST_INVITATIONS = 20  # open at once: whoever has one can make an account and fill this server's disk
MOST_DAYS = 365  # of a sign-in, however much it is used
UNSEEN_DAYS = 180  # a boat trip must not end a sign-in, a phone left in a drawer may
METHOD = "scrypt:32768:8:3"  # 32 MB and three rounds: as much as a small server can spend on each sign-in
NO_INVITATION = "The invitation is missing, used or out of date: ask for a new one"
TOO_MANY_INVITATIONS = (
    f"There are {MOST_INVITATIONS} open invitations already: each ends when it is used, or after {INVITATION_DAYS} days"
)
WRONG = "Name or password is wrong"


class WrongInvitation(Refused):
    """There is no such open invitation: kept apart from typing mistakes, because whoever guesses must wait."""


def sign_up(name: str, password: str, invite: str | None, now: datetime) -> User:
    """Make an account: the first freely, later ones with an invitation; raises Refused with every fault."""
    faults = [*_name_faults(name), *password_rules.faults(password, name=_plain(name))]
    if faults:
        raise Refused(faults)
    password_hash = generate_password_hash(password, METHOD)  # slow on purpose, so done before others have to wait
    with store.transaction():
        if users.count_users() and not _use(invite, now):
            raise WrongInvitation([Fault("", NO_INVITATION)])
        if users.find_user(key_of(name)):
            raise Refused([Fault("name", "is taken")])
        user = users.add_user(_plain(name), key_of(name), password_hash, stamp(now))
        events.note(user.id, "signed_up", now)
    return user


def is_first() -> bool:
    """Tell whether nobody has an account here yet: the first one needs no invitation."""
    with store.reading():
        return users.count_users() == 0


def sign_in(name: str, password: str, now: datetime) -> User:
    """Return the diver of this name and password, or raise Refused with one fault that does not say which was wrong."""
    with store.reading():
        found = users.find_user(key_of(name)) if not _name_faults(name) else None
    fits = check_password_hash(
        found.password_hash if found else _hash_of_nobody(), password[: password_rules.LONGEST + 1]
    )
    if found is None or not fits:
        note_refused(found.user.id if found else None, now)
        raise Refused([Fault("", WRONG)])
    _renew(found, password)
    return found.user


def is_password(user_id: int, password: str) -> bool:
    """Tell whether this is the diver's password."""
    with store.reading():
        found = users.find_secret(user_id)
    return found is not None and check_password_hash(found.password_hash, password[: password_rules.LONGEST + 1])


def is_name(user: User, name: str) -> bool:
    """Tell whether this is the diver's name, as sign-in compares it."""
    return key_of(user.name) == key_of(name)


def invite(user_id: int, now: datetime) -> str:
    """Make an invitation for one new account and return its token; raises Refused when too many are open."""
    token = make_token()
    with store.transaction():
        if users.count_invitations(user_id, _made_after(now)) >= MOST_INVITATIONS:
            raise Refused([Fault("", TOO_MANY_INVITATIONS)])
        users.add_invitation(user_id, hashed(token), stamp(now))
        events.note(user_id, "invitation_made", now)
    return token


def count_invitations(user_id: int, now: datetime) -> int:
    """Return how many invitations of a diver are open."""
    with store.reading():
        return users.count_invitations(user_id, _made_after(now))


def get_user(user_id: int) -> User | None:
    """Return the diver, or None."""
    with store.reading():
        return users.get_user(user_id)


def open_sign_in(user_id: int, now: datetime, former: str | None = None, how: str | None = "signed_in") -> str:
    """Begin a sign-in of one browser and return its token; it replaces the one this browser had, even another diver's.

    `how` is the event that is noted, if any.
    """
    token = make_token()
    with store.transaction():
        if former:
            users.end_sign_in(hashed(former))
        users.add_sign_in(user_id, hashed(token), stamp(now))
        if how:
            events.note(user_id, how, now)
    return token


def user_of_sign_in(token: str, now: datetime, most_days: int = MOST_DAYS) -> User | None:
    """Return the diver of this sign-in, or None when it was ended, not used for long, or begun too many days ago."""
    with store.reading():
        found = users.find_sign_in(hashed(token))
        user = users.get_user(found.user_id) if found else None
    if found is None or _is_over(found, now, most_days):
        return None
    if found.seen_at[:10] != stamp(now)[:10]:  # once a day is enough
        with suppress(store.Unavailable), store.transaction():  # a full disk must not stop anybody from reading
            users.touch_sign_in(found.id, stamp(now))
    return user


def _is_over(found: SignIn, now: datetime, most_days: int) -> bool:
    """Tell whether a sign-in has ended by itself; it stays in the store, so a clock that is put right ends none."""
    unseen, begun = stamp(now - timedelta(days=UNSEEN_DAYS)), stamp(now - timedelta(days=most_days))
    return found.seen_at < unseen or found.created_at < begun


def close_sign_in(token: str, now: datetime) -> None:
    """End a sign-in: its token no longer works."""
    with store.transaction():
        found = users.find_sign_in(hashed(token))
        users.end_sign_in(hashed(token))
        if found:
            events.note(found.user_id, "signed_out", now)


def close_all_sign_ins(user_id: int, now: datetime) -> int:
    """End every sign-in of a diver, as after a phone was stolen, and return how many there were."""
    with store.transaction():
        events.note(user_id, "signed_out_everywhere", now)
        return users.end_sign_ins(user_id)


def note_refused(user_id: int | None, now: datetime) -> None:
    """Note a wrong password; the name that was typed may be nobody's."""
    if user_id is None:
        events.tell(None, "refused", now)
        return
    with suppress(store.Unavailable), store.transaction():
        events.note(user_id, "refused", now)


def _renew(found: users.Secret, password: str) -> None:
    """Hash a password again that was hashed by an older method: only at sign-in is it known."""
    if not found.password_hash.startswith(f"{METHOD}$"):
        password_hash = generate_password_hash(password, METHOD)
        with suppress(store.Unavailable), store.transaction():
            users.set_password(found.user.id, password_hash)


def _use(invite: str | None, now: datetime) -> bool:
    return bool(invite) and users.use_invitation(hashed(str(invite)), _made_after(now), stamp(now))


def _made_after(now: datetime) -> str:
    """Return the moment after which an invitation that is still open was made."""
    return stamp(now - timedelta(days=INVITATION_DAYS))


def _plain(name: str) -> str:
    return " ".join(unicodedata.normalize("NFKC", name).split())


def key_of(name: str) -> str:
    """Return the name as sign-in compares it."""
    return _plain(name).casefold()


def _name_faults(name: str) -> list[Fault]:
    plain = _plain(name)
    if not plain:
        return [Fault("name", "is missing")]
    if len(plain) > NAME_LONGEST or not plain.isprintable():
        return [Fault("name", f"must be plain text of at most {NAME_LONGEST} characters")]
    return []


@cache
def _hash_of_nobody() -> str:
    """Return a hash for names that nobody has, so that they take as long to refuse as wrong passwords."""
    return generate_password_hash(make_token(), METHOD)
