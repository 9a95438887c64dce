"""Reads the rulebook's files: the pure packages open no files."""

from functools import cache
from pathlib import Path

from webapp.rulebook.rulebook import Rulebook, parse

RULEBOOK = Path(__file__).parent / "rulebook" / "rulebook.toml"
MORE = (RULEBOOK.with_name("boat.toml"), RULEBOOK.with_name("technique.toml"))  # what pages of the phone say


@cache
def read_rulebook() -> Rulebook:
    """Return the rulebook as it is shipped."""
    return parse(RULEBOOK.read_text(encoding="utf-8"), *(file.read_text(encoding="utf-8") for file in MORE))
