"""A buddy link says whether it shows that the day is over, and the order of diving of the diver's crew."""

import sqlite3


def up(connection: sqlite3.Connection) -> None:
    """Let links show neither unless the diver chose it; those given before were never asked about it."""
    for name in ("shows_over", "shows_crew"):
        connection.execute(f"ALTER TABLE share_link ADD COLUMN {name} INTEGER NOT NULL DEFAULT 0")
