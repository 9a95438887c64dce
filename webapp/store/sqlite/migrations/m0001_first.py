"""The first schema."""

import sqlite3

TABLES = (
    "CREATE TABLE meta (name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT, WITHOUT ROWID",
    """CREATE TABLE user (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        name TEXT NOT NULL,
        name_key TEXT NOT NULL UNIQUE,       -- the name as sign-in compares it
        password_hash TEXT NOT NULL,
        created_at TEXT NOT NULL,
        utc_offset_min INTEGER NOT NULL DEFAULT 0,
        seq INTEGER NOT NULL DEFAULT 0       -- the last change number given to this diver's records
    ) STRICT""",
    """CREATE TABLE invitation (
        id INTEGER PRIMARY KEY,
        token_hash TEXT NOT NULL UNIQUE,
        user_id INTEGER NOT NULL REFERENCES user (id) ON DELETE CASCADE,
        created_at TEXT NOT NULL,
        used_at TEXT
    ) STRICT""",
    """CREATE TABLE sign_in (
        id INTEGER PRIMARY KEY,
        token_hash TEXT NOT NULL UNIQUE,
        user_id INTEGER NOT NULL REFERENCES user (id) ON DELETE CASCADE,
        created_at TEXT NOT NULL,
        seen_at TEXT NOT NULL
    ) STRICT""",
    """CREATE TABLE season (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        user_id INTEGER NOT NULL REFERENCES user (id) ON DELETE CASCADE,
        name TEXT NOT NULL,
        raw_json TEXT NOT NULL,              -- the season as JSON, as the diver gave it
        active INTEGER NOT NULL DEFAULT 0,
        changed_at TEXT NOT NULL,
        deleted INTEGER NOT NULL DEFAULT 0   -- can be brought back
    ) STRICT""",
    "CREATE UNIQUE INDEX season_active ON season (user_id) WHERE active",
    "CREATE INDEX season_user ON season (user_id)",
    """CREATE TABLE record (
        user_id INTEGER NOT NULL REFERENCES user (id) ON DELETE CASCADE,
        record TEXT NOT NULL,                -- the phone's own id: two divers may have the same
        kind TEXT NOT NULL,
        fields TEXT NOT NULL,
        revs TEXT NOT NULL,                  -- field -> the rev that wrote it
        writers TEXT NOT NULL,               -- rev -> the device that made it
        rev INTEGER NOT NULL,
        deleted INTEGER NOT NULL,
        seq INTEGER NOT NULL,                -- the change number of its last change
        PRIMARY KEY (user_id, record)
    ) STRICT, WITHOUT ROWID""",
    "CREATE UNIQUE INDEX record_seq ON record (user_id, seq)",
    """CREATE TABLE journal (
        id INTEGER PRIMARY KEY,
        user_id INTEGER NOT NULL REFERENCES user (id) ON DELETE CASCADE,
        op TEXT NOT NULL,
        device TEXT NOT NULL,
        counter INTEGER NOT NULL,            -- the device's own order
        kind TEXT NOT NULL,
        record TEXT NOT NULL,
        action TEXT NOT NULL,
        fields TEXT NOT NULL,                -- as sent
        base INTEGER NOT NULL,
        made_at TEXT NOT NULL,               -- the device's clock: told, never believed
        received_at TEXT NOT NULL,
        status TEXT NOT NULL,
        rev INTEGER NOT NULL,
        before TEXT NOT NULL,                -- what each changed field was
        after TEXT NOT NULL,
        conflict TEXT NOT NULL,
        faults TEXT NOT NULL
    ) STRICT""",
    "CREATE UNIQUE INDEX journal_op ON journal (user_id, op)",
    "CREATE INDEX journal_record ON journal (user_id, record)",
    "CREATE INDEX journal_device ON journal (user_id, device, counter)",
    """CREATE TABLE phone (
        user_id INTEGER NOT NULL REFERENCES user (id) ON DELETE CASCADE,
        device TEXT NOT NULL,
        first_at TEXT NOT NULL,
        last_at TEXT NOT NULL,
        PRIMARY KEY (user_id, device)
    ) STRICT, WITHOUT ROWID""",
    """CREATE TABLE share_link (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        token_hash TEXT NOT NULL UNIQUE,
        user_id INTEGER NOT NULL REFERENCES user (id) ON DELETE CASCADE,
        label TEXT NOT NULL,
        made_at TEXT NOT NULL,
        seen_at TEXT,
        revoked INTEGER NOT NULL DEFAULT 0
    ) STRICT""",
    "CREATE INDEX share_link_user ON share_link (user_id)",
    # the epoch names this very file's history: a restored backup gets another one, and phones offer what it lacks
    "INSERT INTO meta VALUES ('epoch', lower(hex(randomblob(16))))",
)


def up(connection: sqlite3.Connection) -> None:
    """Make the tables."""
    for statement in TABLES:
        connection.execute(statement)
