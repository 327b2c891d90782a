/** Results by what they were made from, so that only what changed is measured again; and small settings. */
export const results = `
CREATE TABLE result (
  id INTEGER PRIMARY KEY AUTOINCREMENT,
  key TEXT NOT NULL UNIQUE,
  kind TEXT NOT NULL,
  bytes BLOB NOT NULL
) STRICT;

CREATE TABLE setting (
  name TEXT NOT NULL PRIMARY KEY,
  value TEXT NOT NULL CHECK (json_valid(value))
) STRICT;
`;
