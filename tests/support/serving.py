"""Starts the real server with its clock at a known moment: `python tests/support/serving.py MOMENT [serve's own]`."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from webapp.cli import serve


def main(argv: Sequence[str]) -> int:
    """Serve, on a day that does not pass."""
    moment = datetime.fromisoformat(argv[0])
    return serve.main(argv[1:], {"NOW": lambda: moment})


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
