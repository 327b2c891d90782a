/** Requests that were carried out: one whose answer got lost comes again, and must not be carried out twice. */
export const answered = `
CREATE TABLE answered (
  request TEXT NOT NULL PRIMARY KEY,
  said TEXT,
  at_ms INTEGER NOT NULL
) STRICT;
CREATE INDEX answered_at ON answered (at_ms);
`;
