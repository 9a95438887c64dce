"""Ways back into an account, passkeys, and what happened with it."""

import sqlite3

TABLES = (
    """CREATE TABLE way_back (
        id INTEGER PRIMARY KEY,
        token_hash TEXT NOT NULL UNIQUE,
        user_id INTEGER NOT NULL REFERENCES user (id) ON DELETE CASCADE,
        kind TEXT NOT NULL,                  -- reset: a link of the operator; recovery: the code shown at sign-up
        made_at TEXT NOT NULL,
        ends_at TEXT                         -- empty: it lasts until it is used
    ) STRICT""",
    "CREATE INDEX way_back_user ON way_back (user_id)",
    """CREATE TABLE passkey (
        id INTEGER PRIMARY KEY,
        credential TEXT NOT NULL UNIQUE,     -- the browser's own id of it, base64url
        user_id INTEGER NOT NULL REFERENCES user (id) ON DELETE CASCADE,
        public_key TEXT NOT NULL,            -- COSE, base64url
        sign_count INTEGER NOT NULL,
        label TEXT NOT NULL,
        made_at TEXT NOT NULL,
        seen_at TEXT
    ) STRICT""",
    "CREATE INDEX passkey_user ON passkey (user_id)",
    """CREATE TABLE happened (
        id INTEGER PRIMARY KEY,
        user_id INTEGER NOT NULL REFERENCES user (id) ON DELETE CASCADE,
        at TEXT NOT NULL,
        what TEXT NOT NULL
    ) STRICT""",
    "CREATE INDEX happened_user ON happened (user_id, id)",
)


def up(connection: sqlite3.Connection) -> None:
    """Make the tables; accounts that exist have no recovery code until their diver makes one."""
    for table in TABLES:
        connection.execute(table)
