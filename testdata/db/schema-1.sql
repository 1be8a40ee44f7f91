CREATE TABLE goose_db_version (
		id INTEGER PRIMARY KEY AUTOINCREMENT,
		version_id INTEGER NOT NULL,
		is_applied INTEGER NOT NULL,
		tstamp TIMESTAMP DEFAULT (datetime('now'))
	);
CREATE TABLE devices (
    id         TEXT    NOT NULL PRIMARY KEY,
    name       TEXT    NOT NULL,
    role       TEXT    NOT NULL CHECK (role IN ('phone', 'desk')),
    -- SHA-256 of the 256-bit random token; the token itself is nowhere on disk.
    token_hash BLOB    UNIQUE CHECK (token_hash IS NULL OR length(token_hash) = 32),
    -- Times are milliseconds since 1970-01-01 UTC.
    created    INTEGER NOT NULL,
    last_seen  INTEGER NOT NULL,
    ended      INTEGER,
    -- Ended and having a token exclude each other.
    CHECK ((ended IS NULL) = (token_hash IS NOT NULL))
) STRICT;
INSERT INTO "goose_db_version" VALUES (1, 0, 1, '2026-11-25 09:10:17');
INSERT INTO "goose_db_version" VALUES (2, 1, 1, '2026-11-25 09:10:17');
INSERT INTO "devices" VALUES ('D', 'Kitchen phone', 'phone', X'0000000000000000000000000000000000000000000000000000000000000000', 1750000000000, 1750000000000, NULL);
INSERT INTO "devices" VALUES ('E', 'Laptop', 'desk', X'0000000000000000000000000000000000000000000000000000000000000001', 1750000000001, 1750000000001, NULL);
