"""Runs the server until it is told to stop, and lets the answers that are under way end first."""

import signal
import threading
import time
from typing import Any

GRACE_S = 10.0  # how long running answers may take to end
GRACE_STEP_S = 0.1


def run(server: Any, told: threading.Event) -> None:
    """Serve until told to stop; then take no new connection, and return when nothing is under way any more."""
    while not told.is_set():
        _turn(server, server.adj.asyncore_loop_timeout)
    server.asyncore.dispatcher.close(server)  # its trigger stays: workers need it to have their answers sent
    ends = time.monotonic() + GRACE_S
    while _is_busy(server) and time.monotonic() < ends:
        _turn(server, GRACE_STEP_S)
    server.task_dispatcher.shutdown(timeout=max(0.0, ends - time.monotonic()))
    for channel in list(server.active_channels.values()):
        channel.handle_close()


def listen(server: Any) -> threading.Event:
    """Return what SIGTERM or Ctrl-C will set, from now on; a second one ends the process at once."""
    told = threading.Event()

    def tell(number: int, frame: object) -> None:
        for one in (signal.SIGTERM, signal.SIGINT):
            signal.signal(one, signal.SIG_DFL)
        told.set()
        server.pull_trigger()  # else the loop would notice only at its next turn

    for one in (signal.SIGTERM, signal.SIGINT):
        signal.signal(one, tell)
    return told


def _turn(server: Any, longest_s: float) -> None:
    """Let the server's loop wait once for something to read or write."""
    server.asyncore.loop(timeout=longest_s, map=server._map, use_poll=server.adj.asyncore_use_poll, count=1)


def _is_busy(server: Any) -> bool:
    """Tell whether a request is being answered, or part of an answer is not sent."""
    return any(channel.requests or channel.total_outbufs_len for channel in server.active_channels.values())
