"""Starts the real server with its clock at a known moment: `python tests/support/serving.py MOMENT [serve's own]`."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from webapp.cli import serve

FRESH, HOUR_S = "--files-stay", 3600


def main(argv: Sequence[str]) -> int:
    """Serve, on a day that does not pass; files of the app are asked for once where the app does not change either."""
    moment = datetime.fromisoformat(argv[0])
    is_fresh = argv[1] == FRESH
    return serve.main(argv[1 + is_fresh :], {"NOW": lambda: moment, "FILES_FRESH_S": HOUR_S * is_fresh})


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
