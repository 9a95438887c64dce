"""A buddy link may end on a day."""

import sqlite3


def up(connection: sqlite3.Connection) -> None:
    """Give links the moment they end; those given before have none."""
    connection.execute("ALTER TABLE share_link ADD COLUMN expires_at TEXT")
