-- What is kept for the making of a blanket: swatch, margins, evenings, border. And what is ticked off its
-- lists: strands that are wound, ends that are woven in. A tick is taken back by unticking.

ALTER TABLE blankets ADD COLUMN making TEXT; -- JSON of the caller's

CREATE TABLE ticks (
    blanket INTEGER NOT NULL REFERENCES blankets (id) ON DELETE CASCADE,
    list    TEXT    NOT NULL,
    mark    TEXT    NOT NULL,               -- what is ticked, in the caller's words
    since   INTEGER NOT NULL,
    amount  INTEGER,                        -- what goes with it: of a strand its length, in micrometres
    PRIMARY KEY (blanket, list, mark)
) STRICT;
