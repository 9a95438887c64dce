"""Starts the real server with its clock at a known moment: `python tests/support/serving.py MOMENT [serve's own]`."""

from __future__ import annotations

import sys
from datetime import datetime
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from webapp.cli.serve import main

if __name__ == "__main__":
    moment = datetime.fromisoformat(sys.argv[1])
    sys.exit(main(sys.argv[2:], {"NOW": lambda: moment}))
