CREATE TABLE about (signature TEXT NOT NULL);
CREATE TABLE record (
    id INTEGER PRIMARY KEY, -- the order of the submission
    occurrence TEXT NOT NULL,
    content TEXT NOT NULL,
    file TEXT NOT NULL,
    sheet TEXT NOT NULL,
    row INTEGER NOT NULL,
    claim TEXT NOT NULL,
    outcome TEXT NOT NULL,
    reasons TEXT NOT NULL,
    taxon TEXT NOT NULL,
    recorder TEXT NOT NULL,
    date TEXT NOT NULL,
    year TEXT NOT NULL,
    place TEXT NOT NULL,
    grid TEXT NOT NULL,
    square TEXT NOT NULL,
    latitude REAL,
    longitude REAL,
    determined TEXT NOT NULL
);
-- Kept apart, so that the queue reads little.
CREATE TABLE word (record INTEGER PRIMARY KEY, search TEXT NOT NULL);
CREATE TABLE detail (record INTEGER PRIMARY KEY, packed BLOB NOT NULL);
CREATE TABLE reason (code TEXT NOT NULL, record INTEGER NOT NULL, PRIMARY KEY (code, record)) WITHOUT ROWID;
