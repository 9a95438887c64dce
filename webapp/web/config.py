"""The settings: one table of name, default and help, read from the environment when the app is made."""

import os
from collections.abc import Mapping
from typing import NamedTuple

PREFIX = "LINESLATE_"


class Setting(NamedTuple):
    """One thing that the person who runs the app may decide."""

    name: str
    default: str | int | bool
    help: str


SETTINGS: tuple[Setting, ...] = (
    Setting("DATA_FILE", ".lineslate/lineslate.sqlite3", "the SQLite file with all data"),
    Setting("SECRET_KEY", "", "signs the cookies; when empty, one is made at first start beside the data file"),
    Setting("TRUSTED_PROXIES", 0, "how many proxies in front are trusted to report address and HTTPS"),
    Setting("MAX_CONTENT_LENGTH", 512 * 1024, "the largest request body, in bytes"),
    Setting("MAX_FILE_LENGTH", 4 * 1024 * 1024, "the largest file of unsent dives, in bytes"),
    Setting("SIGN_IN_DAYS", 365, "days after which a sign-in ends; 180 days without use end it too"),
    Setting("SIGN_IN_TRIES", 8, "wrong passwords for one name before a wait"),
    Setting("SIGN_IN_TRIES_OF_ADDRESS", 60, "wrong passwords from one address before a wait: a boat shares one"),
    Setting("SIGN_IN_WAIT_S", 60, "seconds of that wait; it grows with each further wrong password"),
    Setting("TOKEN_TRIES", 20, "wrong buddy links, invitations or links to join from one address before a wait"),
    Setting("TOKEN_WAIT_S", 30, "seconds of that wait; it grows with each further wrong one"),
    Setting("SHARE_PER_MINUTE", 300, "times in a minute that one address may ask for one buddy link that works"),
    Setting("SYNC_PER_MINUTE", 300, "syncs that one diver's phones may make in a minute, with up to 100 records each"),
    Setting("CHANGES_PER_DAY", 20_000, "changes that one diver's phones and files may bring in a day"),
    Setting("REFUSED_PER_DAY", 2_000, "changes of one diver that may be refused in a day"),
    Setting("FILES_PER_DAY", 20, "files of unsent dives that one diver may import in a day"),
    Setting("TRUSTED_HOSTS", "", "the host names of this server, separated by spaces; empty accepts any host"),
    Setting("HSTS_SUBDOMAINS", 0, "1 when browsers shall use HTTPS for every name below this server's too"),
    Setting("REQUEST_S", 120, "seconds that a request may take to arrive whole"),
    Setting("FILES_FRESH_S", 0, "seconds that a browser may use scripts and styles without asking; 0: it always asks"),
    Setting("THREADS", 8, "threads of the web server"),
)


def read_settings(environment: Mapping[str, str] | None = None) -> dict[str, str | int | bool]:
    """Return every setting; the environment overrides the default.

    Raises ValueError, naming the variable, when a number cannot be read.
    """
    given = os.environ if environment is None else environment
    return {setting.name: _typed(setting, given.get(PREFIX + setting.name)) for setting in SETTINGS}


def _typed(setting: Setting, text: str | None) -> str | int | bool:
    if text is None:
        return setting.default
    if not isinstance(setting.default, int):
        return text
    try:
        return int(text)
    except ValueError:
        raise ValueError(f"{PREFIX}{setting.name} must be a whole number, not {text!r}") from None
