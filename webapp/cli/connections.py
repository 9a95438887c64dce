"""How many connections the server holds, and how long one may take: as waitress comes, a hundred idle ones stop it."""

import logging
from typing import Any
from weakref import WeakKeyDictionary

try:
    import resource
except ImportError:  # Windows: it has no such limit
    resource = None  # type: ignore[assignment]

MOST = 1_000
IDLE_S = 60  # without a byte in either direction
SWEEP_S = 2  # how often the connections are looked at
IN_MEMORY_BYTES = 300 * 1024  # of a request; a larger one waits in a file. A sync never does: the disk may be full
OTHER_FILES = 200  # the data file, its log, what Python itself needs


def limits() -> dict[str, Any]:
    """Return waitress's own settings; poll, because select ends at 1024 files."""
    return {
        "connection_limit": MOST, "channel_timeout": IDLE_S, "cleanup_interval": SWEEP_S,
        "inbuf_overflow": IN_MEMORY_BYTES, "asyncore_use_poll": True,
    }  # fmt: skip


def allow_files() -> None:
    """Let the process have as many files open as the connections need, as far as the system allows it."""
    if resource is None:
        return
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    wanted = MOST + OTHER_FILES
    if soft != resource.RLIM_INFINITY and soft < wanted:
        resource.setrlimit(
            resource.RLIMIT_NOFILE, (wanted if hard == resource.RLIM_INFINITY else min(wanted, hard), hard)
        )


def wait_in_silence() -> None:
    """Let waitress write no line for each request that waits for a thread: a whole boat comes back to shore at once."""
    logging.getLogger("waitress.queue").setLevel(logging.ERROR)


def end_slow_ones(server: Any, longest_s: float) -> None:
    """Let the server close each connection whose request takes longer than this to arrive whole.

    A byte now and then keeps a connection from being idle, so waitress alone would wait for ever.
    """
    begun: WeakKeyDictionary[Any, float] = WeakKeyDictionary()
    close_idle_ones = server.maintenance

    def look(now_s: float) -> None:
        close_idle_ones(now_s)
        for channel in server.active_channels.values():
            arriving = channel.request
            if arriving is not None and now_s - begun.setdefault(arriving, now_s) > longest_s:
                channel.will_close = True

    server.maintenance = look
