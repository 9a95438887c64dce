BEGIN TRANSACTION;
CREATE TABLE invitation (
        id INTEGER PRIMARY KEY,
        token_hash TEXT NOT NULL UNIQUE,
        user_id INTEGER NOT NULL REFERENCES user (id) ON DELETE CASCADE,
        created_at TEXT NOT NULL,
        used_at TEXT
    ) STRICT;
INSERT INTO "invitation" VALUES(1,'9703bd662640083f32215ba6d11f7d125d7f1db320a6a9255a37fc4038e4eeed',1,'2031-04-01T08:00:00Z','2031-04-01T08:00:00Z');
CREATE TABLE journal (
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
    ) STRICT;
INSERT INTO "journal" VALUES(1,1,'00000000-0000-0000-0000-000000000004','00000000-0000-0000-0000-000000000001',1,'dive','00000000-0000-0000-0000-000000000003','put','{"date":"2031-03-30","at":"09:40","surfaced_at":null,"discipline":"FIM","role":"deep","target_m":38,"reached_m":38,"dive_s":82,"effort":4,"signs":[],"note":""}',0,'2031-04-01T10:00:00+02:00','2031-04-01T08:00:00Z','stored',1,'{}','{"date":"2031-03-30","at":"09:40","surfaced_at":null,"discipline":"FIM","role":"deep","target_m":38,"reached_m":38,"dive_s":82,"effort":4,"signs":[],"note":""}','[]','[]');
INSERT INTO "journal" VALUES(2,1,'00000000-0000-0000-0000-000000000006','00000000-0000-0000-0000-000000000001',2,'dive','00000000-0000-0000-0000-000000000005','put','{"date":"2031-03-30","at":"10:20","surfaced_at":null,"discipline":"CNF","role":"drill","target_m":15,"reached_m":15,"dive_s":82,"effort":4,"signs":[],"note":"it''s cold; \"ja\"\n\u2013 Zeile"}',0,'2031-04-01T10:00:00+02:00','2031-04-01T08:00:00Z','stored',1,'{}','{"date":"2031-03-30","at":"10:20","surfaced_at":null,"discipline":"CNF","role":"drill","target_m":15,"reached_m":15,"dive_s":82,"effort":4,"signs":[],"note":"it''s cold; \"ja\"\n\u2013 Zeile"}','[]','[]');
INSERT INTO "journal" VALUES(3,1,'00000000-0000-0000-0000-000000000008','00000000-0000-0000-0000-000000000001',3,'dive','00000000-0000-0000-0000-000000000007','put','{"date":"2031-03-30","at":"11:00","surfaced_at":null,"discipline":"FIM","role":"deep","target_m":38,"reached_m":38,"dive_s":82,"effort":4,"signs":[],"note":"twice typed"}',0,'2031-04-01T10:00:00+02:00','2031-04-01T08:00:00Z','stored',1,'{}','{"date":"2031-03-30","at":"11:00","surfaced_at":null,"discipline":"FIM","role":"deep","target_m":38,"reached_m":38,"dive_s":82,"effort":4,"signs":[],"note":"twice typed"}','[]','[]');
INSERT INTO "journal" VALUES(4,1,'00000000-0000-0000-0000-000000000009','00000000-0000-0000-0000-000000000001',4,'dive','00000000-0000-0000-0000-000000000003','put','{"effort":5}',1,'2031-04-01T10:00:00+02:00','2031-04-01T08:00:00Z','stored',2,'{"effort":4}','{"effort":5}','[]','[]');
INSERT INTO "journal" VALUES(5,1,'00000000-0000-0000-0000-00000000000b','00000000-0000-0000-0000-000000000001',5,'dive','00000000-0000-0000-0000-000000000007','delete','{}',1,'2031-04-01T10:00:00+02:00','2031-04-01T08:00:00Z','stored',2,'{"deleted":false}','{"deleted":true}','[]','[]');
INSERT INTO "journal" VALUES(6,1,'00000000-0000-0000-0000-00000000000c','00000000-0000-0000-0000-000000000001',6,'dive','00000000-0000-0000-0000-000000000005','put','{"effort":99}',1,'2031-04-01T10:00:00+02:00','2031-04-01T08:00:00Z','refused',1,'{}','{}','[]','[{"field":"effort","says":"has to be a whole number from 0 to 10, not 99"}]');
INSERT INTO "journal" VALUES(7,1,'00000000-0000-0000-0000-00000000000a','00000000-0000-0000-0000-000000000002',1,'dive','00000000-0000-0000-0000-000000000003','put','{"effort":7}',1,'2031-04-01T10:00:00+02:00','2031-04-01T08:00:00Z','stored',3,'{"effort":5}','{"effort":7}','["effort"]','[]');
INSERT INTO "journal" VALUES(8,2,'00000000-0000-0000-0000-00000000000f','00000000-0000-0000-0000-00000000000d',1,'dive','00000000-0000-0000-0000-00000000000e','put','{"date":"2031-03-30","at":"09:40","surfaced_at":null,"discipline":"FIM","role":"deep","target_m":38,"reached_m":38,"dive_s":82,"effort":4,"signs":[],"note":"another diver"}',0,'2031-04-01T10:00:00+02:00','2031-04-01T08:00:00Z','stored',1,'{}','{"date":"2031-03-30","at":"09:40","surfaced_at":null,"discipline":"FIM","role":"deep","target_m":38,"reached_m":38,"dive_s":82,"effort":4,"signs":[],"note":"another diver"}','[]','[]');
CREATE TABLE meta (name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT, WITHOUT ROWID;
INSERT INTO "meta" VALUES('epoch','44f98e6686c767f67720d3b2145dfd11');
CREATE TABLE migration (number INTEGER PRIMARY KEY, name TEXT NOT NULL) STRICT;
INSERT INTO "migration" VALUES(1,'m0001_first');
CREATE TABLE phone (
        user_id INTEGER NOT NULL REFERENCES user (id) ON DELETE CASCADE,
        device TEXT NOT NULL,
        first_at TEXT NOT NULL,
        last_at TEXT NOT NULL,
        PRIMARY KEY (user_id, device)
    ) STRICT, WITHOUT ROWID;
INSERT INTO "phone" VALUES(1,'00000000-0000-0000-0000-000000000001','2031-04-01T08:00:00Z','2031-04-01T08:00:00Z');
INSERT INTO "phone" VALUES(1,'00000000-0000-0000-0000-000000000002','2031-04-01T08:00:00Z','2031-04-01T08:00:00Z');
INSERT INTO "phone" VALUES(2,'00000000-0000-0000-0000-00000000000d','2031-04-01T08:00:00Z','2031-04-01T08:00:00Z');
CREATE TABLE record (
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
    ) STRICT, WITHOUT ROWID;
INSERT INTO "record" VALUES(1,'00000000-0000-0000-0000-000000000003','dive','{"date":"2031-03-30","at":"09:40","surfaced_at":null,"discipline":"FIM","role":"deep","target_m":38,"reached_m":38,"dive_s":82,"effort":7,"signs":[],"note":""}','{"date":1,"at":1,"surfaced_at":1,"discipline":1,"role":1,"target_m":1,"reached_m":1,"dive_s":1,"effort":3,"signs":1,"note":1}','{"1":"00000000-0000-0000-0000-000000000001","3":"00000000-0000-0000-0000-000000000002"}',3,0,6);
INSERT INTO "record" VALUES(1,'00000000-0000-0000-0000-000000000005','dive','{"date":"2031-03-30","at":"10:20","surfaced_at":null,"discipline":"CNF","role":"drill","target_m":15,"reached_m":15,"dive_s":82,"effort":4,"signs":[],"note":"it''s cold; \"ja\"\n\u2013 Zeile"}','{"date":1,"at":1,"surfaced_at":1,"discipline":1,"role":1,"target_m":1,"reached_m":1,"dive_s":1,"effort":1,"signs":1,"note":1}','{"1":"00000000-0000-0000-0000-000000000001"}',1,0,2);
INSERT INTO "record" VALUES(1,'00000000-0000-0000-0000-000000000007','dive','{"date":"2031-03-30","at":"11:00","surfaced_at":null,"discipline":"FIM","role":"deep","target_m":38,"reached_m":38,"dive_s":82,"effort":4,"signs":[],"note":"twice typed"}','{"date":1,"at":1,"surfaced_at":1,"discipline":1,"role":1,"target_m":1,"reached_m":1,"dive_s":1,"effort":1,"signs":1,"note":1,"deleted":2}','{"1":"00000000-0000-0000-0000-000000000001","2":"00000000-0000-0000-0000-000000000001"}',2,1,5);
INSERT INTO "record" VALUES(2,'00000000-0000-0000-0000-00000000000e','dive','{"date":"2031-03-30","at":"09:40","surfaced_at":null,"discipline":"FIM","role":"deep","target_m":38,"reached_m":38,"dive_s":82,"effort":4,"signs":[],"note":"another diver"}','{"date":1,"at":1,"surfaced_at":1,"discipline":1,"role":1,"target_m":1,"reached_m":1,"dive_s":1,"effort":1,"signs":1,"note":1}','{"1":"00000000-0000-0000-0000-00000000000d"}',1,0,1);
CREATE TABLE season (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        user_id INTEGER NOT NULL REFERENCES user (id) ON DELETE CASCADE,
        name TEXT NOT NULL,
        raw_json TEXT NOT NULL,              -- the season as JSON, as the diver gave it
        active INTEGER NOT NULL DEFAULT 0,
        changed_at TEXT NOT NULL,
        deleted INTEGER NOT NULL DEFAULT 0   -- can be brought back
    ) STRICT;
INSERT INTO "season" VALUES(1,1,'Spring at Invented Bay','{"first_day": "2031-03-28", "last_day": "2031-05-20", "days_on": 2, "days_off": 1, "block_days": 14, "break_days": 4, "closed_days": [], "site": {"name": "Invented Bay", "bottom_m": 60}, "disciplines": [{"discipline": "FIM", "best_m": 41, "start_m": 38, "step_m": 2, "repeats": 2, "goals": {"aim_m": 48}}], "lead": ["FIM"], "drill": {"discipline": "CNF", "depth_m": 15, "dives": 2}, "rules": {}}',1,'2031-04-01T08:00:00Z',0);
INSERT INTO "season" VALUES(2,1,'Autumn, given up','{"first_day": "2031-03-28", "last_day": "2031-05-20", "days_on": 2, "days_off": 1, "block_days": 14, "break_days": 4, "closed_days": [], "site": {"name": "Invented Bay", "bottom_m": 60}, "disciplines": [{"discipline": "FIM", "best_m": 41, "start_m": 38, "step_m": 2, "repeats": 2, "goals": {"aim_m": 48}}], "lead": ["FIM"], "drill": {"discipline": "CNF", "depth_m": 15, "dives": 2}, "rules": {}}',0,'2031-04-01T08:00:00Z',1);
CREATE TABLE share_link (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        token_hash TEXT NOT NULL UNIQUE,
        user_id INTEGER NOT NULL REFERENCES user (id) ON DELETE CASCADE,
        label TEXT NOT NULL,
        made_at TEXT NOT NULL,
        seen_at TEXT,
        revoked INTEGER NOT NULL DEFAULT 0
    ) STRICT;
INSERT INTO "share_link" VALUES(1,'47acad9717994af99f6838c30d4fa83a8d6c1f454085d3129fdc5db467658f80',1,'Ebba','2031-04-01T08:00:00Z',NULL,1);
INSERT INTO "share_link" VALUES(2,'46fdd3f241d6faa9d040330964400183e97b748d36aafbdaa3480365be645fa8',1,'Odd','2031-04-01T08:00:00Z',NULL,0);
CREATE TABLE sign_in (
        id INTEGER PRIMARY KEY,
        token_hash TEXT NOT NULL UNIQUE,
        user_id INTEGER NOT NULL REFERENCES user (id) ON DELETE CASCADE,
        created_at TEXT NOT NULL,
        seen_at TEXT NOT NULL
    ) STRICT;
INSERT INTO "sign_in" VALUES(1,'2d6044a7f1a0a56e2107b092d88969284ba4f4bda75b59ce9b5a1e311f4fe6d6',1,'2031-04-01T08:00:00Z','2031-04-01T08:00:00Z');
CREATE TABLE user (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        name TEXT NOT NULL,
        name_key TEXT NOT NULL UNIQUE,       -- the name as sign-in compares it
        password_hash TEXT NOT NULL,
        created_at TEXT NOT NULL,
        utc_offset_min INTEGER NOT NULL DEFAULT 0,
        seq INTEGER NOT NULL DEFAULT 0       -- the last change number given to this diver's records
    ) STRICT;
INSERT INTO "user" VALUES(1,'Runa Tidewell','runa tidewell','scrypt:32768:8:1$SyYC8MzC83XNBh0j$89bb8b66ea38d72a96dacbe76c73cf39f03bce5c50e18b10025a8e5377fe9de3ffac7390d94c3512a3d3cbdcec8e156028b45dbe01501b3b0799350843d7575f','2031-04-01T08:00:00Z',120,6);
INSERT INTO "user" VALUES(2,'Ivo Brandt','ivo brandt','scrypt:32768:8:1$IctaPH2QdF6SenVb$b26b39083ee4fdc5b2d38e63bbe5bde32063427c445ab7a66b85c0495e3a52fe9e881bdc29b2e13e9aa7c48e7f4a20d6f6ef35410cbd51a20c51330f4eef48b6','2031-04-01T08:00:00Z',120,1);
CREATE UNIQUE INDEX season_active ON season (user_id) WHERE active;
CREATE INDEX season_user ON season (user_id);
CREATE UNIQUE INDEX record_seq ON record (user_id, seq);
CREATE UNIQUE INDEX journal_op ON journal (user_id, op);
CREATE INDEX journal_record ON journal (user_id, record);
CREATE INDEX journal_device ON journal (user_id, device, counter);
CREATE INDEX share_link_user ON share_link (user_id);
DELETE FROM "sqlite_sequence";
INSERT INTO "sqlite_sequence" VALUES('user',2);
INSERT INTO "sqlite_sequence" VALUES('season',2);
INSERT INTO "sqlite_sequence" VALUES('share_link',2);
COMMIT;
