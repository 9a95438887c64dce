"""The command `backup`: copies the data file while the server may run, never over another file."""

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
    parser.add_argument("file", type=Path, help="where the copy goes; there must be nothing yet")
    parser.add_argument("--data", type=Path, help="the SQLite file; else the one of the settings")
    asked = parser.parse_args(argv)
    file = asked.data or Path(str(read_settings()["DATA_FILE"]))
    try:
        back_up(file, asked.file)
    except (NoData, OSError, sqlite3.Error) as error:
        print(f"No backup was made: {error}", file=sys.stderr)
        return 1
    print(f"{file} is copied to {asked.file}. It holds notes on health: keep it where only you can read it.")
    return 0
