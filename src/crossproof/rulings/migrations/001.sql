-- One row for everything decided in one go, so that it can be undone in one go.
CREATE TABLE batch (
    uid TEXT PRIMARY KEY,
    made TEXT NOT NULL,
    by TEXT NOT NULL
) STRICT;

CREATE TABLE ruling (
    seq INTEGER PRIMARY KEY AUTOINCREMENT,
    uid TEXT NOT NULL UNIQUE,
    batch TEXT NOT NULL REFERENCES batch (uid),
    undoes TEXT UNIQUE REFERENCES ruling (uid),
    record TEXT NOT NULL CHECK (record <> ''),
    action TEXT NOT NULL CHECK (action IN ('uphold', 'lower', 'determine', 'ask', 'set_aside', 'undo')),
    by TEXT NOT NULL CHECK (by <> ''),
    "on" TEXT NOT NULL,
    reason TEXT NOT NULL,
    content TEXT NOT NULL,
    determination TEXT NOT NULL, -- JSON: name, authorship, rank, qualifier, taxon, formula, components
    file TEXT NOT NULL,
    sheet TEXT NOT NULL,
    row INTEGER NOT NULL,
    claim TEXT NOT NULL,
    made TEXT NOT NULL,
    CHECK ((action = 'undo') = (undoes IS NOT NULL))
) STRICT;

CREATE INDEX ruling_of_record ON ruling (record, made, seq);
CREATE INDEX ruling_of_batch ON ruling (batch);

CREATE TRIGGER ruling_stays BEFORE UPDATE ON ruling
BEGIN SELECT RAISE(ABORT, 'the ledger only grows'); END;
CREATE TRIGGER ruling_kept BEFORE DELETE ON ruling
BEGIN SELECT RAISE(ABORT, 'the ledger only grows'); END;
CREATE TRIGGER batch_stays BEFORE UPDATE ON batch
BEGIN SELECT RAISE(ABORT, 'the ledger only grows'); END;
CREATE TRIGGER batch_kept BEFORE DELETE ON batch
BEGIN SELECT RAISE(ABORT, 'the ledger only grows'); END;

-- The last ruling on each record that was not undone.
CREATE VIEW standing AS
WITH live AS (
    SELECT * FROM ruling AS r
    WHERE r.undoes IS NULL AND NOT EXISTS (SELECT 1 FROM ruling AS u WHERE u.undoes = r.uid)
)
SELECT * FROM live AS r
WHERE NOT EXISTS (
    SELECT 1 FROM live AS later
    WHERE later.record = r.record AND (later.made, later.seq) > (r.made, r.seq)
);
