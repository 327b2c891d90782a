import { expect, test } from 'vitest';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import type { Quantity } from '../../analysis/quantity.ts';
import { Database } from '../../electron/library/database.ts';

import { migrate } from '../../electron/library/migrate.ts';
import { Results } from '../../electron/library/results.ts';
import type { CalibrationAbout, SavedCalibration, SavedRun } from '../../electron/library/results.ts';
import { testFolder } from '../host/folder.ts';
import { closeLibrary, newFolder, openLibrary, smallLibrary } from './smallLibrary.ts';

const folder = testFolder();

function found(quantity: Quantity['quantity'], region: string, value: Quantity['value']) {
  const finding: Quantity = {
    quantity,
    subject: { regions: [region] },
    value,
    unit: 'Lab',
    u: null,
    flags: [],
    method: `${quantity}/1`,
  };
  const trace = {
    scans: [{ id: 'white', hash: 'a'.repeat(64) }],
    calibration: null,
    measuredAt: '2026-01-01T00:00:00.000Z',
  };
  return { key: `${quantity}(${region})`, finding, trace, regionKeys: ['k1'] };
}

test('findings come back with their trace, in their order, whole or replaced', async () => {
  const { library, ink } = await smallLibrary(folder);
  expect(library.findings(ink)).toBeNull();
  const run: SavedRun = {
    measuredAt: '2026-01-01T00:00:00.000Z',
    findings: [found('paperColour', 'bare', [94.5, -0.25, 2.125]), found('inkColour', 'ef', null)],
    problems: [{ region: 'run', message: 'no ink' }],
  };
  const before = library.revision(ink);
  library.saveRun(ink, run);
  expect(library.revision(ink)).toBe(before + 1);
  expect(library.papers()).toEqual([{ name: 'bright white 90 g/m²', lab: [94.5, -0.25, 2.125] }]);
  closeLibrary(library);
  const again = openLibrary(library.folder);
  expect(again.findings(ink)).toEqual(run);
  const next = { ...run, findings: [found('inkColour', 'ef', [30, 1, -20])], problems: [] };
  again.saveRun(ink, next);
  expect(again.findings(ink)).toEqual(next);
});

test('a run that cannot be kept whole leaves the one before', async () => {
  const { library, ink } = await smallLibrary(folder);
  const run: SavedRun = {
    measuredAt: '2026-01-01T00:00:00.000Z',
    findings: [found('inkColour', 'ef', null)],
    problems: [],
  };
  library.saveRun(ink, run);
  const twice = { ...run, measuredAt: '2026-01-02T00:00:00.000Z', findings: [...run.findings, ...run.findings] };
  expect(() => library.saveRun(ink, twice)).toThrow(/UNIQUE/);
  expect(library.findings(ink)).toEqual(run);
});

test('a region drawn anew under the name of a removed one has none of its figures, and undo brings both back', async () => {
  const { library, ink } = await smallLibrary(folder);
  const told = () => [library.findings(ink), library.findingsInOutline(ink)].map((run) => run?.findings.length);
  const run: SavedRun = {
    measuredAt: '2026-01-01T00:00:00.000Z',
    findings: [found('inkColour', 'ef', [30, 1, -20])],
    problems: [{ region: 'ef', message: 'no ink' }],
  };
  library.saveRun(ink, run);
  const region = library.document(ink).regions.find(({ id }) => id === 'ef')!;
  library.edit(ink, { edit: 'removeRegions', ids: ['ef'] });
  library.edit(ink, { edit: 'addRegion', region });
  expect(told()).toEqual([0, 0]);
  expect(library.findings(ink)?.problems).toEqual([]);
  library.undo(ink);
  library.undo(ink);
  expect(told()).toEqual([1, 1]);
  expect(library.findings(ink)).toEqual(run);
});

test('a calibration comes back to the last digit', async () => {
  const { library, ink } = await smallLibrary(folder);
  const { target, scans } = library.document(ink);
  const row = {
    scanHash: scans[2].hash,
    layoutHash: target?.layout ?? '',
    referenceHash: target?.reference ?? '',
    pointsPx: [[0.1, 1 / 3] as const],
    calibration: { ...nominalCalibration, ridge: 0.1 + 0.2 },
    whiteHash: null,
    about: null,
    madeAt: '2026-01-01T00:00:00.000Z',
  };
  expect(library.calibration('c1')).toBeNull();
  const [revision, told] = [library.revision(ink), new Set<number | null>()];
  const other = library.createInk({ name: 'Sanderling', maker: null });
  library.onChange((change) => told.add(change.ink));
  library.saveCalibration('c1', row);
  // The colours of the ink that it is of are others now, and of no other ink.
  expect(library.revision(ink)).toBe(revision + 1);
  expect([...told]).toEqual([ink]);
  expect(library.revision(other)).toBe(1);
  expect(library.calibration('c1')).toEqual(row);
  library.saveCalibration('c1', { ...row, madeAt: '2026-01-02T00:00:00.000Z' });
  expect(library.calibration('c1')?.madeAt).toBe('2026-01-02T00:00:00.000Z');
});

test('results are recalled by their key; the oldest go when there is too much', () => {
  const file = `${newFolder()}/library.db`;
  const database = new Database(file);
  migrate(database, file);
  const results = new Results(database, 250);
  const bytes = new Uint8Array(100).fill(7);
  for (const key of ['a', 'b', 'a', 'c']) results.remember(key, 'region', bytes);
  expect(results.recall('a')).toEqual(bytes);
  expect(results.recall('b')).toBeNull();
  expect(results.recall('c')).toEqual(bytes);
  database.close();
});

test('settings are small JSON, null when never set', () => {
  const library = openLibrary();
  expect(library.setting('surround')).toBeNull();
  library.setSetting('surround', { dark: true });
  library.setSetting('surround', { dark: false });
  closeLibrary(library);
  expect(openLibrary(library.folder).setting('surround')).toEqual({ dark: false });
});

test('an ink needs a name', () => {
  const library = openLibrary();
  expect(() => library.createInk({ name: ' ', maker: null })).toThrow(expect.objectContaining({ code: 'ink-unnamed' }));
  const id = library.createInk({ name: ' Curlew ', maker: ' ' });
  expect(library.inks()).toEqual([
    { id, name: 'Curlew', maker: null, invented: false, revision: 1, changedAt: expect.stringMatching(/^\d{4}-.*Z$/) },
  ]);
});

test('what else is known of a calibration comes back, and those of other scans are found by it', async () => {
  const { library, ink } = await smallLibrary(folder);
  const { target, scans } = library.document(ink);
  const about: CalibrationAbout = {
    located: { by: 'fiducials', score: 0.97, words: 'by its four discs' },
    scannerBlurMm: 0.031,
    scanner: { make: 'Tern Works', model: 'Flat 12', software: null },
    scannedAt: '2026-05-03T10:15:00',
    kind: { bits: 16, format: 'tiff', icc: null, iccHash: null },
    layoutName: 'six patches',
  };
  const row = (scan: number, madeAt: string, more: Partial<SavedCalibration> = {}): SavedCalibration => ({
    scanHash: scans[scan].hash,
    layoutHash: target?.layout ?? '',
    referenceHash: target?.reference ?? '',
    pointsPx: [],
    calibration: nominalCalibration,
    whiteHash: null,
    about,
    madeAt,
    ...more,
  });
  library.saveCalibration('own', row(0, '2026-01-03T00:00:00.000Z', { whiteHash: scans[1].hash }));
  library.saveCalibration('late', row(1, '2026-01-02T00:00:00.000Z'));
  library.saveCalibration('early', row(2, '2026-01-01T00:00:00.000Z'));
  library.saveCalibration('unknown', row(2, '2026-01-01T00:00:00.000Z', { about: null }));
  expect(library.calibration('own')).toEqual(row(0, '2026-01-03T00:00:00.000Z', { whiteHash: scans[1].hash }));
  const others = library.calibrationsBeside(scans[0].hash, () => true);
  // Neither its own scan's, nor one of an earlier version.
  expect(others.map(({ key, scanName }) => [key, scanName])).toEqual([
    ['early', scans[2].name],
    ['late', scans[1].name],
  ]);
  expect(others[0]).toMatchObject({ about, calibration: nominalCalibration });
  expect(library.calibrationsBeside(scans[0].hash, ({ madeAt }) => madeAt > '2026-01-01T12').map((c) => c.key)).toEqual(
    ['late'],
  );
});
