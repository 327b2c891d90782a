/** What else is known of a calibration: how its target was located, its white sheet, the scanner, for report cards and drift. */
export const calibrationsAbout = `
ALTER TABLE calibration ADD COLUMN white_hash TEXT REFERENCES file (hash);
ALTER TABLE calibration ADD COLUMN about TEXT CHECK (json_valid(about));
CREATE INDEX calibration_scan ON calibration (scan_hash);
`;
