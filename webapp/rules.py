"""Reads the rulebook's file: the planner itself touches no file."""

from functools import cache
from pathlib import Path

from webapp.planner.rulebook import Rulebook, parse

RULEBOOK = Path(__file__).parent / "planner" / "rulebook.toml"


@cache
def read_rulebook() -> Rulebook:
    """Return the rulebook as it is shipped."""
    return parse(RULEBOOK.read_text(encoding="utf-8"))
