"""The write-ahead log as a file: whether it names commits that SQLite will not read, because something damaged it.

SQLite reads it up to the first frame that does not fit its checksum and is silent about the rest. The format is that of
https://www.sqlite.org/fileformat2.html#the_write_ahead_log: a head, then frames of one page each.
"""

import struct
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

HEAD, FRAME = struct.Struct(">8I"), struct.Struct(">6I")
MAGIC = {0x377F0682: "<", 0x377F0683: ">"}  # the order of the bytes in the words that the checksum adds
SUMMED_IN_HEAD, SUMMED_IN_FRAME = 24, 8
WORD = 0xFFFFFFFF

Sums = tuple[int, int]


class Frame(NamedTuple):
    """One frame: how large the file is after it (0 but at the end of a commit), its salts, its sums, what is summed."""

    size: int
    salts: Sums
    sums: Sums
    summed: bytes


def is_damaged(log: Path) -> bool:
    """Tell whether the log has a commit behind a frame that does not fit, or no head that fits; false without a log."""
    data = log.read_bytes() if log.exists() else b""
    if not data:
        return False
    if len(data) < HEAD.size:
        return True
    magic, _, page_bytes, _, *rest = HEAD.unpack_from(data)
    salts, sums = (rest[0], rest[1]), (rest[2], rest[3])
    if magic not in MAGIC or _added(data[:SUMMED_IN_HEAD], (0, 0), MAGIC[magic]) != sums:
        return True
    return _hides_a_commit(_frames(data, page_bytes), salts, sums, MAGIC[magic])


def _hides_a_commit(frames: Iterator[Frame], salts: Sums, sums: Sums, order: str) -> bool:
    """Tell whether a commit stands behind the first frame that does not fit.

    Frames that an earlier round of the log has left behind have both salts of that round. Those of a transaction that
    was given up have the salts of this one, and no commit.
    """
    fits = True
    for frame in frames:
        fits = fits and frame.salts == salts and _added(frame.summed, sums, order) == frame.sums
        sums = frame.sums
        is_of_this_round = frame.salts[0] == salts[0] or frame.salts[1] == salts[1]
        if not fits and frame.size and is_of_this_round:
            return True
    return False


def _frames(data: bytes, page_bytes: int) -> Iterator[Frame]:
    for at in range(HEAD.size, len(data) - FRAME.size + 1, FRAME.size + page_bytes):
        _, size, *rest = FRAME.unpack_from(data, at)
        page = data[at + FRAME.size : at + FRAME.size + page_bytes]
        yield Frame(size, (rest[0], rest[1]), (rest[2], rest[3]), data[at : at + SUMMED_IN_FRAME] + page)


def _added(data: bytes, sums: Sums, order: str) -> Sums:
    """Return SQLite's two sums, carried on over these bytes; bytes behind the last whole pair of words do not count."""
    first, second = sums
    words = struct.unpack_from(f"{order}{len(data) // 8 * 2}I", data)
    for at in range(0, len(words), 2):
        first = (first + words[at] + second) & WORD
        second = (second + words[at + 1] + first) & WORD
    return first, second
