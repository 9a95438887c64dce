"""Tries: what is counted under which key, and who must wait before the next one."""

from collections.abc import Iterable, Iterator
from contextlib import contextmanager

from flask import Flask, current_app, request
from werkzeug.exceptions import TooManyRequests

from webapp.actions import accounts
from webapp.actions.errors import NotFound
from webapp.actions.tokens import hashed
from webapp.web.throttle import Throttle, client_key

Counted = tuple[Throttle, str]  # a throttle, and the key that this request is counted under
DAY_S = 86_400
MUCH = (
    "That is more than this server accepts from one diver in a day. Try again later. What is on the phone stays there."
)
NAME_LONGEST = 200  # characters of a typed name that make its key


def init_app(app: Flask) -> None:
    """Give the app its throttles, as the settings say."""
    config = app.config
    app.extensions["throttles"] = {
        "sign_in": Throttle(config["SIGN_IN_TRIES"], config["SIGN_IN_WAIT_S"], grows=True),
        "sign_in_address": Throttle(config["SIGN_IN_TRIES_OF_ADDRESS"], config["SIGN_IN_WAIT_S"], grows=True),
        "token": Throttle(config["TOKEN_TRIES"], config["TOKEN_WAIT_S"], grows=True),
        "share": Throttle(config["SHARE_PER_MINUTE"], 60),
        "sync": Throttle(config["SYNC_PER_MINUTE"], 60),
        "changes": Throttle(config["CHANGES_PER_DAY"], DAY_S),
        "refused": Throttle(config["REFUSED_PER_DAY"], DAY_S),
        "files": Throttle(config["FILES_PER_DAY"], DAY_S),
    }


def passwords(name: str) -> list[Counted]:
    """Count by name and address together, so that nobody elsewhere can lock a diver out.

    The address alone has a higher limit: a whole boat shares one. The name is compared as sign-in compares it.
    """
    client = _client()
    by_name = _throttle("sign_in"), f"{client} {accounts.key_of(name[:NAME_LONGEST])}"
    return [by_name, (_throttle("sign_in_address"), client)]


def tokens() -> list[Counted]:
    """Count wrong invitations together with wrong buddy links: both are tokens, and a guess can use any name."""
    return [(_throttle("token"), _client())]


def passkeys() -> list[Counted]:
    """Count wrong passkeys by address: no name is typed with one."""
    return [(_throttle("sign_in_address"), _client())]


def own_password(user_id: int) -> list[Counted]:
    """Count wrong passwords of whoever is signed in: at a change of it, and at the deletion of the account."""
    return [(_throttle("sign_in"), f"own {user_id}")]


def sync(user_id: int) -> list[Counted]:
    """Count the requests of one diver's phones: a faulty one must not slow down the others."""
    return [(_throttle("sync"), str(user_id))]


class TooMuchToday(TooManyRequests):
    """One diver has sent more in a day than a diver needs: the others share this server's disk."""

    says = MUCH


def allow_changes(user_id: int, amount: int) -> None:
    """Count the changes that a diver sends; raise TooMuchToday when there were too many today, or refused ones."""
    if not amount:
        return
    key, (changes, refused) = str(user_id), (_throttle("changes"), _throttle("refused"))
    waits_s = refused.wait_s(key, _now_s()) or changes.take(key, _now_s(), amount)
    if waits_s:
        raise TooMuchToday(retry_after=waits_s)


def count_refused(user_id: int, amount: int) -> None:
    """Count the changes of a diver that were refused: each is kept in the journal all the same."""
    if amount:
        _throttle("refused").count(str(user_id), _now_s(), amount)


def allow_file(user_id: int) -> None:
    """Count a file of dives; raise TooMuchToday when there were too many today."""
    waits_s = _throttle("files").take(str(user_id), _now_s())
    if waits_s:
        raise TooMuchToday(retry_after=waits_s)


def take(counted: Iterable[Counted]) -> int:
    """Note one try under each key and return 0, or note none and return how many seconds this request must wait."""
    taken: list[Counted] = []
    for throttle, key in counted:
        waits_s = throttle.take(key, _now_s())
        if waits_s:
            give_back(taken)
            return waits_s
        taken.append((throttle, key))
    return 0


def give_back(counted: Iterable[Counted]) -> None:
    """Take one try back under each key, as when nothing was guessed wrongly."""
    for throttle, key in counted:
        throttle.give_back(key)


def count(counted: Iterable[Counted]) -> None:
    """Note one try under each key."""
    for throttle, key in counted:
        throttle.count(key, _now_s())


def forget_name(name: str) -> None:
    """Reset the count of this name and address, as after a right password, and take this try of the address back."""
    (throttle, key), address = passwords(name)
    throttle.forget(key)
    give_back([address])


def take_or_raise(counted: Iterable[Counted]) -> None:
    """Note one try under each key, or answer 429 with the time to wait."""
    seconds = take(counted)
    if seconds:
        raise TooManyRequests(retry_after=seconds)


@contextmanager
def share_link(token: str) -> Iterator[None]:
    """Look a buddy link up inside this block: each wrong token of an address makes its next wait longer.

    A link that has worked from an address keeps working there, whatever others guess: a buddy needs the list.
    """
    works = _throttle("share")
    link = f"{_client()} {hashed(token)}"
    guesses = [] if works.knows(link) else tokens()
    take_or_raise([*guesses, (works, link)])
    try:
        yield
    except NotFound:
        works.forget(link)
        count([] if guesses else tokens())
        raise
    give_back(guesses)


def _throttle(name: str) -> Throttle:
    found: Throttle = current_app.extensions["throttles"][name]
    return found


def _now_s() -> float:
    """Return the seconds of a clock that never goes back, whatever is done to the server's."""
    return float(current_app.config["SECONDS"]())


def _client() -> str:
    return client_key(request.remote_addr)
