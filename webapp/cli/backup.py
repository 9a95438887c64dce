"""The command `backup`: copies the data file, also while the server runs; it never overwrites a file."""

import argparse
import sqlite3
import sys
from collections.abc import Sequence
from pathlib import Path

from webapp.store.sqlite.copies import NoData, back_up
from webapp.web.config import read_settings


def main(argv: Sequence[str]) -> int:
    """Run `backup FILE`; return the exit status."""
    parser = argparse.ArgumentParser(prog="python -m webapp backup", description=__doc__)
    parser.add_argument("file", type=Path, help="where to put the copy; the file must not exist yet")
    parser.add_argument("--data", type=Path, help="the SQLite file; default: the one in the settings")
    options = parser.parse_args(argv)
    file = options.data or Path(str(read_settings()["DATA_FILE"]))
    try:
        back_up(file, options.file)
    except (NoData, OSError, sqlite3.Error) as error:
        print(f"No backup was made: {error}", file=sys.stderr)
        return 1
    print(f"{file} is copied to {options.file}. It contains notes on health: keep it where only you can read it.")
    return 0
