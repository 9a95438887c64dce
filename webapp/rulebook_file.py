"""Reads the rulebook's files: the pure packages open no files."""

from functools import cache
from pathlib import Path

from webapp.rulebook.rulebook import Rulebook, parse

RULEBOOK = Path(__file__).parent / "rulebook" / "rulebook.toml"
BOAT = RULEBOOK.with_name("boat.toml")  # what the boat pages say


@cache
def read_rulebook() -> Rulebook:
    """Return the rulebook as it is shipped."""
    return parse(RULEBOOK.read_text(encoding="utf-8"), BOAT.read_text(encoding="utf-8"))
