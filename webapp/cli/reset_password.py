"""The command `reset-password`: makes a link with which one diver sets a new password, once, within a day."""

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path

from webapp import clock, store
from webapp.actions import leaving, passwords
from webapp.actions.errors import NotFound
from webapp.store.sqlite.migrate import FileChanged, TooNew
from webapp.web.config import read_settings


def main(argv: Sequence[str]) -> int:
    """Run `reset-password NAME`; return the exit status."""
    parser = argparse.ArgumentParser(prog="python -m webapp reset-password", description=__doc__)
    parser.add_argument("name", help="the diver's name, as at sign-in")
    parser.add_argument("--address", default="", help="where the server is reached: https://slate.example.org")
    parser.add_argument("--data", type=Path, help="the SQLite file; default: the one in the settings")
    options = parser.parse_args(argv)
    file = options.data or Path(str(read_settings()["DATA_FILE"]))
    if not file.exists():
        return _complain(f"there is no data file {file}")
    try:
        store.open_store(file)
        token = passwords.make_reset(leaving.user_of(options.name).id, clock.now())
    except NotFound:
        return _complain(f"there is no diver {options.name}")
    except (TooNew, FileChanged, store.Unavailable, OSError) as error:
        return _complain(str(error))
    finally:
        store.close()
    print(f"{options.address.rstrip('/')}/password/reset/{token}")
    print(f"Give this link to {options.name} alone: it works once, within {passwords.RESET_HOURS} hours.", end="")
    print("" if options.address else " Put the address of your server in front of it.")
    return 0


def _complain(says: str) -> int:
    print(f"No link was made: {says}", file=sys.stderr)
    return 1
