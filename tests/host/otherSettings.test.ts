import { expect, test } from 'vitest';
import { keepsItsScale, otherSettings } from '../../electron/scans/otherSettings.ts';

const scanner = { make: 'Fernside', model: 'Flatbed 4', software: 'ScanDesk 2.1' };
const target = { bits: 16, iccHash: 'a1', scanner } as const;

test.each([
  ['the same', {}, false],
  ['another profile', { iccHash: 'b2' }, true],
  ['no profile', { iccHash: null }, true],
  ['8 bits for 16', { bits: 8 }, true],
  ['another model', { scanner: { ...scanner, model: 'Flatbed 9' } }, true],
  ['another maker', { scanner: { ...scanner, make: 'Oldmill' } }, true],
  ['other software', { scanner: { ...scanner, software: 'ScanDesk 3.0' } }, true],
  ['a file that names no software', { scanner: { ...scanner, software: null } }, false],
  ['a file that names nothing', { scanner: null }, false],
] as const)('%s', (_, differs, isOther) => {
  const scan = { ...target, ...differs };
  expect([otherSettings(target, scan), otherSettings(scan, target)]).toEqual([isOther, isOther]);
});

test('a file whose packing makes up values has no scale of its own', () => {
  expect(keepsItsScale({ format: 'tiff' })).toBe(true);
  expect(keepsItsScale({ format: 'png' })).toBe(true);
  expect(keepsItsScale({ format: 'jpeg' })).toBe(false);
  expect(keepsItsScale({ format: 'png', lossy: true })).toBe(false);
});
