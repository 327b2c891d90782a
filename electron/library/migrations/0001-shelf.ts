/** Inks with their work, and the files that it rests on. Columns that are asked for are generated from the one JSON body. */
export const shelf = `
CREATE TABLE file (
  hash TEXT NOT NULL PRIMARY KEY CHECK (length(hash) = 64),
  kind TEXT NOT NULL CHECK (kind IN ('scan', 'sheet', 'layout', 'reference')),
  name TEXT NOT NULL,
  ending TEXT NOT NULL,
  bytes INTEGER NOT NULL,
  about TEXT NOT NULL CHECK (json_valid(about)),
  added_at TEXT NOT NULL
) STRICT;

CREATE TABLE paper (name TEXT NOT NULL PRIMARY KEY) STRICT;
CREATE TABLE nib (name TEXT NOT NULL PRIMARY KEY, width_mm REAL) STRICT;

CREATE TABLE ink (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  name TEXT NOT NULL,
  maker TEXT,
  invented INTEGER NOT NULL CHECK (invented IN (0, 1)),
  bench TEXT CHECK (json_valid(bench)),
  revision INTEGER NOT NULL,
  changed_at TEXT NOT NULL,
  removed_at TEXT
) STRICT;

CREATE TABLE scan (
  ink INTEGER NOT NULL REFERENCES ink (id),
  id TEXT NOT NULL,
  place INTEGER NOT NULL,
  body TEXT NOT NULL CHECK (json_valid(body)),
  revision INTEGER NOT NULL,
  hash TEXT NOT NULL GENERATED ALWAYS AS (body ->> '$.hash') STORED REFERENCES file (hash),
  paper TEXT GENERATED ALWAYS AS (body ->> '$.paper') STORED REFERENCES paper (name),
  PRIMARY KEY (ink, id)
) STRICT;
CREATE INDEX scan_hash ON scan (hash);

CREATE TABLE region (
  ink INTEGER NOT NULL REFERENCES ink (id),
  id TEXT NOT NULL,
  place INTEGER NOT NULL,
  body TEXT NOT NULL CHECK (json_valid(body)),
  revision INTEGER NOT NULL,
  scan TEXT NOT NULL GENERATED ALWAYS AS (body ->> '$.scan') STORED,
  kind TEXT NOT NULL GENERATED ALWAYS AS (body ->> '$.kind') STORED,
  paper TEXT GENERATED ALWAYS AS (body ->> '$.paper') STORED REFERENCES paper (name),
  nib TEXT GENERATED ALWAYS AS (body ->> '$.nib') STORED REFERENCES nib (name),
  PRIMARY KEY (ink, id),
  FOREIGN KEY (ink, scan) REFERENCES scan (ink, id) DEFERRABLE INITIALLY DEFERRED
) STRICT;

-- serves: 'all', or the id of the one scan whose own it is.
CREATE TABLE target (
  ink INTEGER NOT NULL REFERENCES ink (id),
  serves TEXT NOT NULL,
  body TEXT NOT NULL CHECK (json_valid(body)),
  scan TEXT NOT NULL GENERATED ALWAYS AS (body ->> '$.scan') STORED,
  layout TEXT NOT NULL GENERATED ALWAYS AS (body ->> '$.layout') STORED REFERENCES file (hash),
  reference TEXT NOT NULL GENERATED ALWAYS AS (body ->> '$.reference') STORED REFERENCES file (hash),
  PRIMARY KEY (ink, serves),
  FOREIGN KEY (ink, scan) REFERENCES scan (ink, id) DEFERRABLE INITIALLY DEFERRED
) STRICT;

-- The steps of undo, oldest first; those undone are the newest.
CREATE TABLE edit (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  ink INTEGER NOT NULL REFERENCES ink (id),
  what TEXT NOT NULL,
  same TEXT,
  delta TEXT NOT NULL CHECK (json_valid(delta)),
  at_ms INTEGER NOT NULL,
  undone INTEGER NOT NULL CHECK (undone IN (0, 1))
) STRICT;
CREATE INDEX edit_ink ON edit (ink, undone, id);
`;
