"""The command `restore`: replaces the data file with a backup; phones then send again what the backup lacks."""

import argparse
import sqlite3
import sys
from collections.abc import Sequence
from pathlib import Path

from webapp.store.sqlite.copies import NoData, restore
from webapp.store.sqlite.marker import InUse
from webapp.store.sqlite.migrate import FileChanged, TooNew
from webapp.web.config import read_settings


def main(argv: Sequence[str]) -> int:
    """Run `restore FILE`; return the exit status."""
    parser = argparse.ArgumentParser(prog="python -m webapp restore", description=__doc__)
    parser.add_argument("file", type=Path, help="the backup")
    parser.add_argument("--data", type=Path, help="the SQLite file to replace; default: the one in the settings")
    options = parser.parse_args(argv)
    file = options.data or Path(str(read_settings()["DATA_FILE"]))
    try:
        kept = restore(options.file, file)
    except (NoData, InUse, TooNew, FileChanged, OSError, sqlite3.Error) as error:
        print(f"Nothing was restored: {error}", file=sys.stderr)
        return 1
    print(f"{file} is now a copy of {options.file}. At their next sync, phones send again what it lacks.")
    if kept is not None:
        print(f"The old file is kept as {kept}.")
    return 0
