"""Counts tries in the memory of this process: enough, because waitress runs in one process."""

from collections import OrderedDict
from ipaddress import IPv6Address, ip_network
from threading import Lock
from typing import NamedTuple

MOST_KEPT = 10_000
QUIET_WAITS = 15  # a growing wait is forgotten after this many waits without a try
NETWORK_BITS = 64  # of the 128 of an IPv6 address: whoever has the first 64 can choose the others


class Tries(NamedTuple):
    """What is remembered of one key."""

    tried: int
    first_s: float
    last_s: float


def client_key(address: str | None) -> str:
    """Return what an address is counted under: for IPv6 its network, as one customer has many addresses."""
    try:
        parsed = IPv6Address(address or "")
    except ValueError:
        return address or ""
    mapped = parsed.ipv4_mapped
    return str(mapped or ip_network((int(parsed), NETWORK_BITS), strict=False))


class Throttle:
    """Allows `tries` in `within_s` seconds for each key; with `grows`, each further try makes the wait longer.

    Times are seconds of any clock that never goes back; they come as arguments.
    """

    def __init__(self, tries: int, within_s: float, grows: bool = False) -> None:
        self.tries, self.within_s, self.grows = tries, within_s, grows
        self._seen: OrderedDict[str, Tries] = OrderedDict()
        self._lock = Lock()

    def wait_s(self, key: str, now_s: float) -> int:
        """Return how many seconds the key must wait: 0 when it may try."""
        with self._lock:
            return self._wait_s(key, now_s)

    def take(self, key: str, now_s: float, amount: int = 1) -> int:
        """Note one try, or so many, and return 0, or return how many seconds the key must wait first.

        One step under the lock: tries at the same moment are counted before any of them is looked at.
        """
        with self._lock:
            waits_s = self._wait_s(key, now_s)
            if not waits_s:
                self._count(key, now_s, amount)
            return waits_s

    def count(self, key: str, now_s: float, amount: int = 1) -> None:
        """Note one try, or so many."""
        with self._lock:
            self._count(key, now_s, amount)

    def give_back(self, key: str) -> None:
        """Take one try back, as after it turned out to be right."""
        with self._lock:
            seen = self._seen.get(key)
            if seen is not None:
                self._seen[key] = seen._replace(tried=max(0, seen.tried - 1))

    def knows(self, key: str) -> bool:
        """Tell whether the key is remembered."""
        with self._lock:
            return key in self._seen

    def forget(self, key: str) -> None:
        """Reset the count of a key, as after a right password."""
        with self._lock:
            self._seen.pop(key, None)

    def _wait_s(self, key: str, now_s: float) -> int:
        seen = self._seen.get(key)
        if seen is None or seen.tried < self.tries:
            return 0
        return max(0, round(self._ends_s(seen) - now_s))

    def _count(self, key: str, now_s: float, amount: int) -> None:
        seen = self._seen.pop(key, None)
        if seen is None or now_s > self._forgotten_s(seen):
            seen = Tries(0, now_s, now_s)
        self._seen[key] = Tries(seen.tried + amount, seen.first_s, now_s)
        while len(self._seen) > MOST_KEPT:
            self._seen.popitem(last=False)

    def _ends_s(self, seen: Tries) -> float:
        if not self.grows:
            return seen.first_s + self.within_s
        return seen.last_s + self.within_s * (seen.tried - self.tries + 1)

    def _forgotten_s(self, seen: Tries) -> float:
        return seen.last_s + QUIET_WAITS * self.within_s if self.grows else self._ends_s(seen)
