"""The file's own shape: tables and the guards that refuse to change or remove what was written."""

APPLICATION = 0x54726E52  # "TrnR" in the file's header
VERSION = 1  # of this shape

SHAPE = (
    """CREATE TABLE lines (
        number INTEGER PRIMARY KEY CHECK (number >= 1),
        id TEXT NOT NULL UNIQUE CHECK (typeof(id) = 'text'),
        written_us INTEGER NOT NULL CHECK (typeof(written_us) = 'integer' AND written_us >= 0),
        bytes BLOB NOT NULL CHECK (typeof(bytes) = 'blob'),
        seal BLOB NOT NULL CHECK (typeof(seal) = 'blob' AND length(seal) = 32),
        strikes INTEGER UNIQUE REFERENCES lines (number) CHECK (strikes < number)
    )""",
    """CREATE TABLE blobs (
        name TEXT PRIMARY KEY NOT NULL CHECK (typeof(name) = 'text' AND length(name) = 64),
        bytes BLOB NOT NULL CHECK (typeof(bytes) = 'blob')
    )""",
    """CREATE TRIGGER line_kept BEFORE UPDATE ON lines
    BEGIN SELECT RAISE(ABORT, 'a line is never changed; strike it'); END""",
    """CREATE TRIGGER line_stays BEFORE DELETE ON lines
    BEGIN SELECT RAISE(ABORT, 'a line is never removed; strike it'); END""",
    """CREATE TRIGGER blob_kept BEFORE UPDATE ON blobs
    BEGIN SELECT RAISE(ABORT, 'a blob is never changed'); END""",
    """CREATE TRIGGER blob_stays BEFORE DELETE ON blobs
    BEGIN SELECT RAISE(ABORT, 'a blob is never removed'); END""",
    # INSERT OR REPLACE removes rows without asking the two guards above
    """CREATE TRIGGER line_follows BEFORE INSERT ON lines
    WHEN NEW.number <> (SELECT coalesce(max(number), 0) + 1 FROM lines)
        OR EXISTS (SELECT 1 FROM lines WHERE id = NEW.id)
        OR EXISTS (SELECT 1 FROM lines WHERE strikes = NEW.strikes)
    BEGIN SELECT RAISE(ABORT, 'a line follows the last one, with an id and a strike of its own'); END""",
    """CREATE TRIGGER blob_new BEFORE INSERT ON blobs
    WHEN EXISTS (SELECT 1 FROM blobs WHERE name = NEW.name)
    BEGIN SELECT RAISE(ABORT, 'a blob is written once'); END""",
)
