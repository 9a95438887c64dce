"""Offers: a link by which another diver gets rights on a log or joins a crew; and the title of a crew."""

import sqlite3


def up(connection: sqlite3.Connection) -> None:
    """Add the table of offers and the title; there are no crews yet, so nothing has one."""
    connection.execute("ALTER TABLE feed ADD COLUMN title TEXT NOT NULL DEFAULT ''")
    connection.execute(
        """CREATE TABLE offer (
            id INTEGER PRIMARY KEY AUTOINCREMENT,
            token_hash TEXT NOT NULL UNIQUE,
            feed_id INTEGER NOT NULL REFERENCES feed (id) ON DELETE CASCADE,
            rights TEXT NOT NULL,                -- JSON: a list of names, see webapp/actions/access.py
            label TEXT NOT NULL,
            made_at TEXT NOT NULL,
            ends_at TEXT NOT NULL,
            used_at TEXT                         -- an offer on a log is for one use; one of a crew for many
        ) STRICT"""
    )
    connection.execute("CREATE INDEX offer_feed ON offer (feed_id)")
