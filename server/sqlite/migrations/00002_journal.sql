-- +goose Up

-- Who writes entries: one row a writing copy of the app, see internal/journal.
CREATE TABLE writers (
    id   INTEGER NOT NULL PRIMARY KEY,
    name TEXT    NOT NULL UNIQUE
) STRICT;

-- The journal: a set that only grows. Each writer's entries are whole from 1 up
-- and each stands behind those it replaces, so a phone that reads in order of
-- place never meets a gap.
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

-- +goose StatementBegin
CREATE TRIGGER entries_are_never_changed BEFORE UPDATE ON entries
BEGIN
    SELECT raise(ABORT, 'entries are never changed');
END;
-- +goose StatementEnd

-- +goose StatementBegin
CREATE TRIGGER entries_are_never_removed BEFORE DELETE ON entries
BEGIN
    SELECT raise(ABORT, 'entries are never removed');
END;
-- +goose StatementEnd
