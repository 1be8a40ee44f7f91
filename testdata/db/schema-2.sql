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
CREATE TABLE writers (
    id   INTEGER NOT NULL PRIMARY KEY,
    name TEXT    NOT NULL UNIQUE
) STRICT;
CREATE TABLE entries (
    -- The order of arrival, from 1 without gaps; what a phone's cursor counts.
    place   INTEGER NOT NULL PRIMARY KEY,
    writer  INTEGER NOT NULL REFERENCES writers (id),
    seq     INTEGER NOT NULL CHECK (seq > 0),
    -- The wire form, byte by byte as it came, and its SHA-256.
    entry   TEXT    NOT NULL,
    hash    BLOB    NOT NULL CHECK (length(hash) = 32),
    -- The first 8 bytes of SHA-256 (trail of the entry before, hash): it stands
    -- for all entries up to here, so that a cursor from before a backup was put
    -- back is recognised.
    trail   BLOB    NOT NULL CHECK (length(trail) = 8),
    -- Which device brought it and when (ms since 1970); its writer may be another.
    device  TEXT    NOT NULL REFERENCES devices (id),
    arrived INTEGER NOT NULL,
    UNIQUE (writer, seq)
) STRICT;
INSERT INTO "goose_db_version" VALUES (1, 0, 1, '2026-11-25 09:10:18');
INSERT INTO "goose_db_version" VALUES (2, 1, 1, '2026-11-25 09:10:18');
INSERT INTO "goose_db_version" VALUES (3, 2, 1, '2026-11-25 09:10:18');
INSERT INTO "devices" VALUES ('D', 'Kitchen phone', 'phone', X'0000000000000000000000000000000000000000000000000000000000000000', 1750000000000, 1750000000000, NULL);
INSERT INTO "devices" VALUES ('E', 'Laptop', 'desk', X'0000000000000000000000000000000000000000000000000000000000000001', 1750000000001, 1750000000001, NULL);
INSERT INTO "writers" VALUES (1, 'a-phone-of-its-time');
INSERT INTO "entries" VALUES (1, 1, 1, '{"id":"a-phone-of-its-time.1","at":"1750000000001.0","record":"0190a000-0000-7000-8000-000000000001","kind":"find","field":"note","value":"note 0"}', X'168ACC5935EDAD6CB67FBC3D700A6FE64D8F09B65349F22701B8B09616BAF264', X'047A34FA11EA9AFC', 'D', 1750000000000);
INSERT INTO "entries" VALUES (2, 1, 2, '{"id":"a-phone-of-its-time.2","at":"1750000000002.0","record":"0190a000-0000-7000-8000-000000000001","kind":"find","field":"note","value":"note 1","replaces":["a-phone-of-its-time.1"],"prev":"168acc5935edad6cb67fbc3d700a6fe64d8f09b65349f22701b8b09616baf264"}', X'E181AB15AA70943ABBEAFE48E17EF761447C785BCB6C864EDFE4D05B81396553', X'6EBEA5DB533D72F6', 'D', 1750000000000);
INSERT INTO "entries" VALUES (3, 1, 3, '{"id":"a-phone-of-its-time.3","at":"1750000000003.0","record":"0190a000-0000-7000-8000-000000000001","kind":"find","field":"note","value":"note 2","replaces":["a-phone-of-its-time.2"],"prev":"e181ab15aa70943abbeafe48e17ef761447c785bcb6c864edfe4d05b81396553"}', X'E178E4902CA0A46C7EAEB9D7A279FB982FEBFDB2447C0499A13A7E8C1099094F', X'DEBD68742C966AE1', 'D', 1750000000000);
CREATE TRIGGER entries_are_never_changed BEFORE UPDATE ON entries
BEGIN
    SELECT raise(ABORT, 'entries are never changed');
END;
CREATE TRIGGER entries_are_never_removed BEFORE DELETE ON entries
BEGIN
    SELECT raise(ABORT, 'entries are never removed');
END;
