"""What the commands about one diver share: open the data file, find the diver, say in words what is wrong."""

import argparse
import sys
from collections.abc import Callable
from pathlib import Path

from webapp import store
from webapp.actions import leaving
from webapp.actions.errors import NotFound
from webapp.rulebook.checks import named_halves
from webapp.store.sqlite.migrate import FileChanged, TooNew
from webapp.web.config import read_settings


def parser_of(command: str, does: str | None) -> argparse.ArgumentParser:
    """Return a parser that knows the diver's name and the data file."""
    parser = argparse.ArgumentParser(prog=f"python -m webapp {command}", description=does)
    parser.add_argument("name", help="the diver's name, as at sign-in")
    parser.add_argument("--data", type=Path, help="the SQLite file; default: the one in the settings")
    return parser


def run(options: argparse.Namespace, work: Callable[[int], None], failed: str) -> int:
    """Do `work` with the diver's id; return the exit status. If it fails, `failed` and the reason are printed."""
    says = _problem(options.data or Path(str(read_settings()["DATA_FILE"])), options.name, work)
    if says is None:
        return 0
    print(f"{failed}: {says}", file=sys.stderr)
    return 1


def _problem(file: Path, name: str, work: Callable[[int], None]) -> str | None:
    if not file.exists():
        return f"there is no data file {file}"
    try:
        store.open_store(file)
        work(leaving.user_of(named_halves(name)).id)
    except NotFound:
        return f"there is no diver {name}"
    except (TooNew, FileChanged, store.Unavailable, OSError) as error:
        return str(error)
    finally:
        store.close()
    return None
