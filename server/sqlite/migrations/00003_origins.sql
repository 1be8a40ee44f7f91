-- +goose Up

-- Every origin (scheme, host and port, as browsers write it) under which this
-- server has served its app. A phone keeps its records by origin, so pages of
-- an old one may go on talking to this server.
CREATE TABLE origins (
    origin      TEXT    NOT NULL PRIMARY KEY CHECK (origin LIKE 'https://%'),
    -- Milliseconds since 1970-01-01 UTC, to the day or so.
    last_served INTEGER NOT NULL
) STRICT;
