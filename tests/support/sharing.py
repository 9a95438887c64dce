"""Other divers on the same server, and what a diver shares with them: written into the file as the shore does it."""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from typing import Any
from uuid import uuid4

from support.boat import Server

SINCE = "2026-05-01T08:00:00Z"


def ask(server: Server, sql: str, *values: object) -> list[tuple[Any, ...]]:
    """Query the file directly."""
    with closing(sqlite3.connect(server.data, timeout=20)) as connection, connection:
        return connection.execute(sql, values).fetchall()


def add_diver(server: Server, name: str) -> str:
    """Add a diver with the demo's password; return the name of the log's feed, by which others know them."""
    ask(
        server,
        "INSERT INTO user (name, name_key, password_hash, created_at) SELECT ?, ?, password_hash, created_at"
        " FROM user WHERE id = 1",
        name,
        name.casefold(),
    )
    ((user_id,),) = ask(server, "SELECT id FROM user WHERE name = ?", name)
    return add_feed(server, "log", user_id)


def add_feed(server: Server, kind: str, owner_id: int, title: str | None = None) -> str:
    """Add an empty feed; return its name."""
    name = str(uuid4())
    sql = "INSERT INTO feed (name, kind, owner_id, made_at) VALUES (?, ?, ?, ?)"
    ask(server, sql, name, kind, owner_id, SINCE)
    if title is not None:
        ask(server, "UPDATE feed SET title = ? WHERE name = ?", title, name)
    return name


def log_of(server: Server, name: str) -> str:
    """Return the name of a diver's log."""
    sql = "SELECT feed.name FROM feed JOIN user ON owner_id = user.id WHERE kind = 'log' AND user.name = ?"
    return str(ask(server, sql, name)[0][0])


def give(server: Server, feed: str, name: str, *rights: str) -> None:
    """Let a diver do so much, and no more, with a feed; nothing, when no right is named."""
    ((feed_id,),) = ask(server, "SELECT id FROM feed WHERE name = ?", feed)
    ((user_id,),) = ask(server, "SELECT id FROM user WHERE name = ?", name)
    ask(server, "DELETE FROM member WHERE feed_id = ? AND user_id = ?", feed_id, user_id)
    if rights:
        put = "INSERT INTO member (feed_id, user_id, rights, since) VALUES (?, ?, ?, ?)"
        ask(server, put, feed_id, user_id, json.dumps(sorted(rights)), SINCE)
