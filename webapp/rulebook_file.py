"""Reads the rulebook's files: the pure packages open no files."""

from functools import cache
from pathlib import Path

from webapp.rulebook.rulebook import Rulebook, parse

RULEBOOK = Path(__file__).parent / "rulebook" / "rulebook.toml"
MORE = tuple(
    RULEBOOK.with_name(f"{name}.toml") for name in ("boat", "technique", "crew", "looking_back")
)  # what the phone says


@cache
def read_rulebook() -> Rulebook:
    """Return the rulebook as it is shipped."""
    return parse(RULEBOOK.read_text(encoding="utf-8"), *(file.read_text(encoding="utf-8") for file in MORE))
