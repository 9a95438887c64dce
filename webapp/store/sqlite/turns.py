"""Whose turn it is to write: the threads of this process get it in the order in which they asked.

SQLite lets waiting writers try again after longer and longer pauses, so one that writes without a break keeps others
out; here each waits in line and begins the moment the one before has ended.
"""

from collections import deque
from threading import Lock


class Turns:
    """A lock that is given in the order of asking."""

    def __init__(self) -> None:
        self._lock, self._line, self._is_taken = Lock(), deque[Lock](), False

    def take(self, longest_s: float) -> bool:
        """Wait for the turn; return False when it did not come in this time."""
        with self._lock:
            if not self._is_taken:
                self._is_taken = True
                return True
            gate = Lock()
            gate.acquire()
            self._line.append(gate)
        if gate.acquire(timeout=longest_s):
            return True
        with self._lock:
            if gate in self._line:
                self._line.remove(gate)
                return False
        return True  # it came at the last moment

    def end(self) -> None:
        """Give the turn to the next in line."""
        with self._lock:
            if self._line:
                self._line.popleft().release()
            else:
                self._is_taken = False

    def waiting(self) -> int:
        """Return how many are in line."""
        with self._lock:
            return len(self._line)
