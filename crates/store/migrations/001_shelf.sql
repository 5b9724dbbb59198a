-- The shelf: blankets, their pictures, what was done to them, and what the person keeps besides.
-- Moments are milliseconds since the start of 1970, UTC. JSON is written and read by the crate.

CREATE TABLE pictures (
    id     INTEGER PRIMARY KEY,
    name   TEXT    NOT NULL,
    width  INTEGER NOT NULL,                -- in pixels, upright
    height INTEGER NOT NULL,
    bytes  BLOB    NOT NULL                 -- as handed in
) STRICT;

CREATE TABLE blankets (
    id              INTEGER PRIMARY KEY AUTOINCREMENT, -- an id is never given twice
    name            TEXT    NOT NULL,
    invented        INTEGER NOT NULL,       -- 1 for the demo
    revision        INTEGER NOT NULL,       -- one more with every operation
    made            INTEGER NOT NULL,
    changed         INTEGER NOT NULL,
    aside           INTEGER,                -- since when it is set aside
    picture         INTEGER REFERENCES pictures (id),
    request         TEXT,                   -- how the picture was last charted, JSON
    gauge_stitches  REAL    NOT NULL,       -- in 10 cm
    gauge_rows      REAL    NOT NULL,
    gauge_estimated INTEGER NOT NULL,
    columns         INTEGER NOT NULL,
    rows            INTEGER NOT NULL,
    palette         TEXT    NOT NULL,       -- JSON, all fields of every yarn
    cells           BLOB    NOT NULL,       -- one byte a cell, from the bottom row, each from the left
    CHECK (length(cells) = columns * rows)
) STRICT;

CREATE INDEX blankets_by_picture ON blankets (picture);

CREATE TABLE operations (
    blanket    INTEGER NOT NULL REFERENCES blankets (id) ON DELETE CASCADE,
    number     INTEGER NOT NULL,            -- from 1, in the order in which they were done
    name       TEXT    NOT NULL,
    stroke     TEXT,                        -- of one movement of the brush, which may come in parts
    done       INTEGER NOT NULL,
    before     BLOB    NOT NULL,            -- a change that takes it back
    after      BLOB    NOT NULL,            -- a change that does it again
    taken_back INTEGER NOT NULL DEFAULT 0,
    PRIMARY KEY (blanket, number)
) STRICT;

-- Lists and settings, whole: of each kind the newest counts, the older ones are the way back.
CREATE TABLE kept (
    number INTEGER PRIMARY KEY AUTOINCREMENT,
    kind   TEXT    NOT NULL,
    since  INTEGER NOT NULL,
    value  TEXT    NOT NULL                 -- JSON
) STRICT;

CREATE INDEX kept_by_kind ON kept (kind, number);
