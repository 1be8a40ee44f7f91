-- +goose Up

-- What was done and seen whenever a scale was checked with weights. What follows
-- from it is computed anew each time, so a better computation counts for old
-- checks too.
CREATE TABLE scale_checks (
    id      INTEGER NOT NULL PRIMARY KEY,
    -- The scale as its port or address names it, and its line format.
    scale   TEXT    NOT NULL CHECK (scale <> ''),
    dialect TEXT    NOT NULL,
    -- Milliseconds since 1970-01-01 UTC.
    taken   INTEGER NOT NULL,
    -- Who sent it; null for the laptop's own terminal.
    device  TEXT    REFERENCES devices (id),
    -- JSON, as the core's method scale-check takes it.
    record  TEXT    NOT NULL
) STRICT;

CREATE INDEX scale_checks_by_scale ON scale_checks (scale, dialect, id);
