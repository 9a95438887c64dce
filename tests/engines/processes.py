"""What both drivers need: programs of which nothing is left at the end, and waiting for what is so in a moment."""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import Any


class EngineError(Exception):
    """What a browser answers when it cannot do what it was asked."""


@contextmanager
def running(
    command: Sequence[str], package: str, env: Mapping[str, str], **options: Any
) -> Iterator[subprocess.Popen[str]]:
    """Run a program of this Debian package in a process group of its own; at the end the whole group is gone."""
    if not shutil.which(command[0]):
        raise RuntimeError(f"{command[0]} is missing. Debian, Ubuntu: apt-get install {package}")
    with subprocess.Popen(command, env=env, start_new_session=True, text=True, **options) as process:
        try:
            yield process
        finally:
            if process.poll() is None:
                os.killpg(process.pid, signal.SIGKILL)


def until(ask: Callable[[], Any], is_it: Callable[[Any], object] = bool, seconds: float = 60) -> Any:
    """Ask until the answer is the one waited for, and return it; a page or program on its way may not answer yet."""
    end = time.monotonic() + seconds
    while True:
        try:
            answer = ask()
            if is_it(answer):
                return answer
        except (EngineError, OSError, ValueError) as error:
            answer = error
        assert time.monotonic() < end, f"waited {seconds:.0f} s in vain; the last answer was: {answer!r}"
        time.sleep(0.05)
