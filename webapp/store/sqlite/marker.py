"""The marker beside the data file: that there was one, how the last server left it, and whether a server holds it.

Vanished  the data file was there before and is missing now
InUse     a server holds the data file
"""

import json
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

END = ".held"
LONGEST_BYTES = 1_000


class Vanished(Exception):
    """The data file was there before and is missing now: an empty one must not take its place by itself."""


class InUse(Exception):
    """A server holds the data file."""


@dataclass(frozen=True)
class Left:
    """How a server left the file: closed properly or not, and the number of the last entry in its journal."""

    is_closed: bool
    last: int


@dataclass(frozen=True)
class Held:
    """A server's hold on the file, until its process ends; `left` is None when no server has held it before."""

    handle: int
    is_alone: bool
    left: Left | None


def refuse_vanished(file: Path) -> None:
    """Raise Vanished when the marker is there and the data file is not."""
    if _beside(file).exists() and not file.exists():
        raise Vanished(
            f"{file} was there before and is missing now. Put it back, or restore a backup. "
            "To begin again with an empty one, start once with --new."
        )


def make_private(file: Path) -> None:
    """Make an empty file that only its owner may read: a log tells about health. Side files get the same rights."""
    file.parent.mkdir(parents=True, exist_ok=True)
    if not file.exists():
        os.close(os.open(file, os.O_WRONLY | os.O_CREAT, 0o600))


def forget(file: Path) -> None:
    """Forget a data file that is missing, so that a new one may be made."""
    if not file.exists():
        _beside(file).unlink(missing_ok=True)


def hold(file: Path) -> Held:
    """Hold the data file as a server does, beside other servers, and read how the last one left it; make a first one.

    Raises Vanished.
    """
    refuse_vanished(file)
    make_private(file)  # before the marker, which says that there is one
    handle = os.open(_beside(file), os.O_RDWR | os.O_CREAT, 0o600)
    is_alone = _lock(handle, is_shared=False)
    left = _read(handle)
    _lock(handle, is_shared=True)
    return Held(handle, is_alone, left)


def note(held: Held, left: Left) -> None:
    """Write how the file is left, unless another server holds it too."""
    if _lock(held.handle, is_shared=False):
        _write(held.handle, left)
        _lock(held.handle, is_shared=True)


def release(held: Held) -> None:
    """Let go of the file."""
    os.close(held.handle)


@contextmanager
def unused(file: Path) -> Iterator[None]:
    """Keep servers away while the file is replaced; raises InUse when one holds it."""
    try:
        handle = os.open(_beside(file), os.O_RDWR)
    except FileNotFoundError:
        yield  # no server has ever held it
        return
    try:
        if not _lock(handle, is_shared=False):
            raise InUse(f"a server holds {file}: stop it first")
        yield
        _write(handle, Left(True, 0))  # how an earlier file was left says nothing about this one
    finally:
        os.close(handle)


def _beside(file: Path) -> Path:
    return file.with_name(file.name + END)


def _read(handle: int) -> Left | None:
    try:
        os.lseek(handle, 0, os.SEEK_SET)
        return Left(**json.loads(os.read(handle, LONGEST_BYTES)))
    except (ValueError, TypeError):  # new, or cut by a full disk
        return None


def _write(handle: int, left: Left) -> None:
    data = json.dumps(vars(left)).encode()
    os.lseek(handle, 0, os.SEEK_SET)
    os.write(handle, data)
    os.ftruncate(handle, len(data))


if sys.platform == "win32":

    def _lock(handle: int, *, is_shared: bool) -> bool:
        return True  # Windows itself refuses to replace a file that is open

else:
    import fcntl

    def _lock(handle: int, *, is_shared: bool) -> bool:
        """Take the lock at once, in place of one that this handle has; tell whether it was free."""
        try:
            fcntl.flock(handle, (fcntl.LOCK_SH if is_shared else fcntl.LOCK_EX) | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True
