"""The command `export`: writes everything of one diver as open files into a folder of its own."""

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path

from webapp import clock, store
from webapp.actions import leaving
from webapp.actions.errors import NotFound
from webapp.rulebook.checks import named_halves
from webapp.store.sqlite.migrate import FileChanged, TooNew
from webapp.web.config import read_settings


def main(argv: Sequence[str]) -> int:
    """Run `export NAME DIRECTORY`; return the exit status."""
    parser = argparse.ArgumentParser(prog="python -m webapp export", description=__doc__)
    parser.add_argument("name", help="the diver's name, as at sign-in")
    parser.add_argument("directory", type=Path, help="a folder that does not exist yet, or is empty")
    parser.add_argument("--data", type=Path, help="the SQLite file; default: the one in the settings")
    options = parser.parse_args(argv)
    file = options.data or Path(str(read_settings()["DATA_FILE"]))
    if not file.exists():
        return _complain(f"there is no data file {file}")
    try:
        store.open_store(file)
        files = leaving.export(leaving.user_of(named_halves(options.name)).id, clock.now())
        _write(options.directory, files)
    except NotFound:
        return _complain(f"there is no diver {options.name}")
    except (TooNew, FileChanged, store.Unavailable, OSError) as error:
        return _complain(str(error))
    finally:
        store.close()
    print(f"{len(files)} files are in {options.directory}. They contain notes on health.")
    return 0


def _write(directory: Path, files: dict[str, str]) -> None:
    directory.mkdir(mode=0o700, parents=True, exist_ok=True)
    if any(directory.iterdir()):
        raise FileExistsError(f"{directory} is not empty")
    for name, text in files.items():
        (directory / name).write_text(text, encoding="utf-8", newline="")


def _complain(says: str) -> int:
    print(f"Nothing was exported: {says}", file=sys.stderr)
    return 1
