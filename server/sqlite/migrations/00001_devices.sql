-- +goose Up

-- The phones and desks that may talk to this server. A row stays when a device
-- is ended, because what it recorded still names it; only its token goes.
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
