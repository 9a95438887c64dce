"""The command line: `python -m webapp plan …` runs on the standard library alone, `serve` starts the app."""

from __future__ import annotations

import argparse
import importlib
import sys
from collections.abc import Sequence

# command: (module with main(argv) -> exit code, what it is for); imported only when asked for
COMMANDS = {
    "plan": ("webapp.cli.plan", "print the dated plan of a season, recalculated from a log"),
    "serve": ("webapp.cli.serve", "start the app"),
    "backup": ("webapp.cli.backup", "copy the data file while it is in use"),
    "restore": ("webapp.cli.restore", "replace the data file with a backup"),
    "reset-password": ("webapp.cli.reset_password", "make a link for a diver whose password is lost"),
    "export": ("webapp.cli.export", "write everything of one diver as open files"),
}


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code."""
    parser = argparse.ArgumentParser(prog="python -m webapp", description=__doc__)
    listed = "; ".join(f"{name}: {what}" for name, (_, what) in COMMANDS.items())
    parser.add_argument("command", choices=COMMANDS, help=listed)
    parser.add_argument("rest", nargs=argparse.REMAINDER, help="its own arguments; --help shows them")
    arguments = parser.parse_args(argv)
    module = importlib.import_module(COMMANDS[arguments.command][0])
    return int(module.main(arguments.rest) or 0)


if __name__ == "__main__":
    sys.exit(main())
