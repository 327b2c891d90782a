/** Drift in words and figures, from made-up calibrations before and after. */
import { describe, expect, test } from 'vitest';
import { isSameScanner } from '../../electron/findings/driftReport.ts';
import { earlier, mapBefore, reportWith } from './madeUpReport.ts';

describe('drift', () => {
  test('none: says so, by the scanner’s name or for want of one', () => {
    expect(reportWith({}).drift).toEqual({
      by: 'scanner',
      words: 'No earlier calibration of this scanner (Tern Works Flat 12) is in the library.',
      earlier: [],
    });
    expect(reportWith({ scanner: null }).drift).toMatchObject({
      by: 'kind-of-file',
      words:
        'The file does not name its scanner, and no earlier calibration from the same kind of file is in the library.',
    });
    expect(reportWith({ given: true }).drift).toMatchObject({
      by: 'given',
      words: expect.stringMatching(/^No earlier report/),
    });
  });

  test('brighter since an earlier day', () => {
    const then = { ...earlier, map: mapBefore([1.012, 1.012, 1.012]) };
    const { drift } = reportWith({ earlier: [then] });
    const [{ compared, words }] = drift.earlier;
    compared?.brighterPercent.forEach((value) => expect(value).toBeCloseTo(1.2, 4));
    expect(compared?.restDE00).toBeLessThan(1e-4);
    expect(words).toMatch(
      /^Since 3 May 2026 \(may\.tif\) the scanner has become 1\.2 % brighter; its colours have moved by 0\.\d\d ΔE00 in the median, 0\.\d at most\./,
    );
    expect(drift.words).toBe('Held against an earlier calibration of the same scanner (Tern Works Flat 12).');
  });

  test('channel by channel where they part', () => {
    const then = { ...earlier, map: mapBefore([0.97, 0.99, 1]) };
    expect(reportWith({ earlier: [then] }).drift.earlier[0].words).toContain(
      'become 1.3 % darker (red −3.0, green −1.0, blue 0.0 %)',
    );
  });

  test('unchanged', () => {
    expect(reportWith({ earlier: [earlier] }).drift.earlier[0].words).toBe(
      'Since 3 May 2026 (may.tif) the scanner is as bright as it was; its colours have moved by 0.00 ΔE00 in the median, ' +
        '0.0 at most. That is no more than two calibrations of one scanner differ by.',
    );
  });

  test.each([
    ['profile', { kind: { ...earlier.kind, icc: 'Wide', iccHash: 'aa' } }, 'profile “Wide” then, no profile now'],
    ['bits', { kind: { ...earlier.kind, bits: 8 as const } }, '8 bits then, 16 now'],
    [
      'software',
      { scanner: { make: 'Tern Works', model: 'Flat 12', software: 'Quick' } },
      'software “Quick” then, “Slow Scan 3.1” now',
    ],
  ])('other settings (%s) are not compared, and said', (_, change, what) => {
    const [from] = reportWith({ earlier: [{ ...earlier, ...change }] }).drift.earlier;
    expect(from).toMatchObject({
      compared: null,
      settingsChanged: [what],
      words: `Not held against may.tif of 3 May 2026: it was scanned differently (${what}).`,
    });
  });

  test('a report that was given may be another scanner’s', () => {
    const other = { ...earlier, name: 'may.json', at: null, scanner: null };
    const [from] = reportWith({ earlier: [other], given: true }).drift.earlier;
    expect(from.words).toBe(
      'Not held against may.json: it was scanned differently (not named then, “Tern Works Flat 12” now and software not named then, “Slow Scan 3.1” now).',
    );
  });

  test('another target’s share is said', () => {
    const [from] = reportWith({ earlier: [{ ...earlier, layoutName: 'four patches' }] }).drift.earlier;
    expect(from.words).toContain('It was another target (four patches)');
  });

  test('the latest first, six at most', () => {
    const many = [1, 2, 3, 4, 5, 6, 7, 8].map((day) => ({
      ...earlier,
      name: `${day}.tif`,
      at: `2026-05-0${day}T00:00:00`,
    }));
    const { drift } = reportWith({ earlier: many });
    expect(drift.earlier.map(({ name }) => name)).toEqual(['8.tif', '7.tif', '6.tif', '5.tif', '4.tif', '3.tif']);
    expect(drift.words).toContain('8 earlier calibrations');
  });

  const { scanner, kind } = earlier;
  test.each([
    ['named alike', { scanner, kind }, { scanner, kind: { ...kind, iccHash: 'aa' } }, true],
    [
      'named otherwise',
      { scanner, kind },
      { scanner: { make: 'Tern Works', model: 'Flat 9', software: null }, kind },
      false,
    ],
    ['one not named', { scanner, kind }, { scanner: null, kind }, false],
    ['neither named, one kind of file', { scanner: null, kind }, { scanner: null, kind }, true],
    [
      'neither named, another profile',
      { scanner: null, kind },
      { scanner: null, kind: { ...kind, iccHash: 'aa' } },
      false,
    ],
  ])('one scanner? %s', (_, a, b, same) => {
    expect([isSameScanner(a, b), isSameScanner(b, a)]).toEqual([same, same]);
  });
});
