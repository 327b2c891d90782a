/** What was measured, each finding with its trace. */
export const findings = `
CREATE TABLE calibration (
  key TEXT NOT NULL PRIMARY KEY,
  scan_hash TEXT NOT NULL REFERENCES file (hash),
  layout_hash TEXT NOT NULL REFERENCES file (hash),
  reference_hash TEXT NOT NULL REFERENCES file (hash),
  points_px TEXT NOT NULL CHECK (json_valid(points_px)),
  body TEXT NOT NULL CHECK (json_valid(body)),
  made_at TEXT NOT NULL
) STRICT;

CREATE TABLE run (
  ink INTEGER NOT NULL PRIMARY KEY REFERENCES ink (id),
  measured_at TEXT NOT NULL,
  problems TEXT NOT NULL CHECK (json_valid(problems))
) STRICT;

CREATE TABLE finding (
  ink INTEGER NOT NULL REFERENCES run (ink) ON DELETE CASCADE,
  key TEXT NOT NULL,
  place INTEGER NOT NULL,
  body TEXT NOT NULL CHECK (json_valid(body)),
  trace TEXT NOT NULL CHECK (json_valid(trace)),
  region_keys TEXT NOT NULL CHECK (json_valid(region_keys)),
  quantity TEXT NOT NULL GENERATED ALWAYS AS (body ->> '$.quantity') STORED,
  method TEXT NOT NULL GENERATED ALWAYS AS (body ->> '$.method') STORED,
  calibration TEXT GENERATED ALWAYS AS (trace ->> '$.calibration') STORED,
  PRIMARY KEY (ink, key)
) STRICT;
`;
