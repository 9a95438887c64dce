"""Feeds: records and their change numbers belong to a feed; the log of a diver is one, and a feed has members.

The feed of an existing log takes the number of its diver, so that every row keeps its number.
"""

import sqlite3

FEEDS = (
    """CREATE TABLE feed (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        name TEXT NOT NULL UNIQUE,           -- a UUID: what phones call it
        kind TEXT NOT NULL,                  -- log: of one diver; crew
        owner_id INTEGER NOT NULL REFERENCES user (id) ON DELETE CASCADE,
        seq INTEGER NOT NULL DEFAULT 0,      -- the last change number given to its records
        made_at TEXT NOT NULL
    ) STRICT""",
    "CREATE UNIQUE INDEX feed_log ON feed (owner_id) WHERE kind = 'log'",
    """INSERT INTO feed (id, name, kind, owner_id, seq, made_at)
        SELECT id, lower(hex(randomblob(4)) || '-' || hex(randomblob(2)) || '-4' || substr(hex(randomblob(2)), 2)
            || '-8' || substr(hex(randomblob(2)), 2) || '-' || hex(randomblob(6))), 'log', id, seq, created_at
        FROM user""",
    """CREATE TABLE member (
        feed_id INTEGER NOT NULL REFERENCES feed (id) ON DELETE CASCADE,
        user_id INTEGER NOT NULL REFERENCES user (id) ON DELETE CASCADE,
        rights TEXT NOT NULL,                -- JSON: a list of names, see webapp/actions/access.py
        since TEXT NOT NULL,
        PRIMARY KEY (feed_id, user_id)
    ) STRICT, WITHOUT ROWID""",
    "CREATE INDEX member_user ON member (user_id)",
    "ALTER TABLE user DROP COLUMN seq",
)
RECORDS = (
    """CREATE TABLE new_record (
        feed_id INTEGER NOT NULL REFERENCES feed (id) ON DELETE CASCADE,
        record TEXT NOT NULL,                -- the phone's own id: two feeds may have the same
        kind TEXT NOT NULL,
        fields TEXT NOT NULL,
        revs TEXT NOT NULL,                  -- field -> the rev that wrote it
        writers TEXT NOT NULL,               -- rev -> the device that made it
        rev INTEGER NOT NULL,
        deleted INTEGER NOT NULL,
        seq INTEGER NOT NULL,                -- the change number of its last change
        PRIMARY KEY (feed_id, record)
    ) STRICT, WITHOUT ROWID""",
    """INSERT INTO new_record (feed_id, record, kind, fields, revs, writers, rev, deleted, seq)
        SELECT user_id, record, kind, fields, revs, writers, rev, deleted, seq FROM record""",
    "DROP TABLE record",
    "ALTER TABLE new_record RENAME TO record",
    "CREATE UNIQUE INDEX record_seq ON record (feed_id, seq)",
)
JOURNAL = (
    """CREATE TABLE new_journal (
        id INTEGER PRIMARY KEY,
        feed_id INTEGER NOT NULL REFERENCES feed (id) ON DELETE CASCADE,
        author_id INTEGER REFERENCES user (id) ON DELETE SET NULL,  -- whose phone sent it; empty when they left
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
    """INSERT INTO new_journal (id, feed_id, author_id, op, device, counter, kind, record, action, fields, base,
            made_at, received_at, status, rev, before, after, conflict, faults)
        SELECT id, user_id, user_id, op, device, counter, kind, record, action, fields, base, made_at,
            received_at, status, rev, before, after, conflict, faults FROM journal""",
    "DROP TABLE journal",
    "ALTER TABLE new_journal RENAME TO journal",
    "CREATE UNIQUE INDEX journal_op ON journal (feed_id, op)",
    "CREATE INDEX journal_record ON journal (feed_id, record)",
    "CREATE INDEX journal_device ON journal (author_id, device, counter)",
)


def up(connection: sqlite3.Connection) -> None:
    """Give each diver the feed of their log, and each record and journal entry its feed instead of a diver."""
    for statement in (*FEEDS, *RECORDS, *JOURNAL):
        connection.execute(statement)
