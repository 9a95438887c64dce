"""The phone's code and styles as they are sent: without comments and indents, a fifth less on a weak signal."""

import os
import re
from functools import lru_cache
from pathlib import Path

from werkzeug.exceptions import NotFound
from werkzeug.security import safe_join

_LINE = re.compile(r"^[ \t]*//.*$", re.MULTILINE)
_INDENT = re.compile(r"^[ \t]+", re.MULTILINE)
_IMPORT = re.compile(r'^@import "([^"]+)";$', re.MULTILINE)
_NOTE = re.compile(r"[ \t]*/\*(?:(?!\*/)[\s\S])*\*/")
_BLOCK = re.compile(r"^[ \t]*/\*(?:(?!\*/)[\s\S])*\*/[ \t]*$", re.MULTILINE)


def as_sent(code: str) -> str:
    """Return the code without indents, and empty lines where whole lines were comments.

    A fault is still found by its line number. A comment that shares its line with code stays. No text of the code may
    go over several lines; a test holds that.
    """
    bare = _BLOCK.sub(lambda block: "\n" * block[0].count("\n"), code)
    return _INDENT.sub("", _LINE.sub("", bare))


def script(folder: Path, name: str) -> str:
    """Return a module of this folder as it is sent; raises NotFound."""
    path = _found(folder, name, ".js")
    return _read(path, path.stat().st_mtime_ns)


def style(folder: Path, name: str) -> str:
    """Return a style sheet of this folder as it is sent; raises NotFound.

    A sheet that it imports stands in the place of the import: each further file delays a slow phone's first frame.
    """
    path = _found(folder, name, ".css")
    text = _NOTE.sub("", path.read_text(encoding="utf-8"))
    lines = (line.strip() for line in text.splitlines())
    return _IMPORT.sub(lambda found: style(folder, found[1]), "\n".join(line for line in lines if line)) + "\n"


def _found(folder: Path, name: str, ending: str) -> Path:
    path = safe_join(str(folder), name)
    if path is None or not name.endswith(ending) or not os.path.isfile(path):  # Path's own fails at a long name
        raise NotFound
    return Path(path)


@lru_cache(maxsize=512)
def _read(path: Path, _changed_ns: int) -> str:
    return as_sent(path.read_text(encoding="utf-8"))
