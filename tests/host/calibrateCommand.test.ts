/** `wetline calibrate` with the calibrating itself replaced. */
import { readFileSync, writeFileSync } from 'node:fs';
import { beforeEach, describe, expect, test, vi } from 'vitest';
import type { Calibration } from '../../analysis/calibrate/calibration.ts';
import { type CalibrateOutcome, calibrateSheet, measureSheet } from '../../electron/jobs/measureSheet.ts';
import { calibration, commandBench, ONE_LINE } from './commandBench.ts';
import type { Sound } from './commandBench.ts';
import { listen } from './listen.ts';

vi.mock('../../electron/jobs/measureSheet.ts', () => ({
  measureSheet: vi.fn<typeof measureSheet>(),
  calibrateSheet: vi.fn<typeof calibrateSheet>(),
}));

const bench = commandBench();
/** Three patches of one row at 254 dpi, found where the layout has them. */
const outcome: CalibrateOutcome = {
  calibration,
  pointsPx: [
    [0, 0],
    [300, 0],
    [300, 100],
    [0, 100],
  ],
  located: { by: 'fiducials', score: 0.97, words: 'by its four discs' },
  scannerBlurMm: 0.03,
  target: {
    scanFile: 'target.tif',
    info: {
      file: 'target.tif',
      widthPx: 300,
      heightPx: 100,
      bits: 16,
      channels: 3,
      dpi: 254,
      icc: null,
      iccHash: null,
      format: 'tiff',
      pages: 1,
      orientation: 1,
      scanner: { make: 'Tern Works', model: 'Flat 12', software: null },
      scannedAt: '2026-05-03T10:15:00',
      notes: [],
    },
    dpi: 254,
    layout: {
      format: 'wetline-target/1',
      name: 'three patches',
      pointsMm: [
        [0, 0],
        [30, 0],
        [30, 10],
        [0, 10],
      ],
      patches: [1, 2, 3].map((i) => ({ id: `P${i}`, boxMm: [10 * i - 10, 0, 10, 10] as const })),
    },
    reference: { patches: new Map() },
  },
};
/** Enough of them, and of enough colours, to tell how each channel has changed. */
const fourPatches = [
  [0.9, 0.9, 0.9],
  [0.8, 0.3, 0.3],
  [0.3, 0.7, 0.3],
  [0.3, 0.3, 0.8],
].map(([r, g, b], i) => ({ ...calibration.patches[0], id: `P${i + 1}`, device: [r, g, b] as const }));
const fourPatchLayout = {
  ...outcome.target.layout,
  patches: fourPatches.map(({ id }, i) => ({ id, boxMm: [7 * i, 0, 7, 10] as const })),
};
beforeEach(() => {
  vi.mocked(calibrateSheet).mockReset().mockResolvedValue(outcome);
});

describe('calibrate', () => {
  test('prints the report card', async () => {
    const { code, out, err } = await listen(['calibrate', bench.path()]);
    expect([code, err]).toEqual([0, '']);
    expect(out).toContain('left-out ΔE00   median 0.61   mean 0.70   95 % 1.40   largest 2.20');
    expect(out.indexOf('P3')).toBeLessThan(out.indexOf('P1')); // the worst first
    expect(out).toContain('Good: a patch that the fit never saw is missed by 0.61 ΔE00 in the median');
  });

  test.each<[Calibration['judgement'], number, string]>([
    ['usable', 1.5, 'Usable: a patch that the fit never saw is missed by 1.50 ΔE00'],
    ['poor', 4.2, 'Poor: a patch that the fit never saw is missed by 4.20 ΔE00'],
  ])('says what is %s and why', async (judgement, leftOutMedian, words) => {
    vi.mocked(calibrateSheet).mockResolvedValue({
      ...outcome,
      calibration: { ...calibration, judgement, leftOutMedian },
    });
    const { code, out } = await listen(['calibrate', bench.path()]);
    expect(code).toBe(0);
    expect(out).toContain(words);
  });

  test('--json and --out', async () => {
    const { out } = await listen(['calibrate', bench.path(), '--json']);
    expect(JSON.parse(out)).toMatchObject({ format: 'wetline-calibration/1', judgement: 'good', leftOutMedian: 0.61 });
    expect(await listen(['calibrate', bench.path(), '--out', bench.at('c.json')])).toEqual({
      code: 0,
      out: '',
      err: '',
    });
    expect(readFileSync(bench.at('c.json'), 'utf8')).toBe(out);
    expect((await listen(['calibrate', bench.path(), '--out', bench.at('c.json')])).code).toBe(2);
  });

  test('tells who scanned it, how its target was located and how blurred it is', async () => {
    const { out } = await listen(['calibrate', bench.path()]);
    expect(out).toContain('Located by its four discs: sure (0.97 of 1).');
    expect(out).toContain('Tern Works Flat 12.');
    expect(out).toContain('Edges are blurred by 0.077 mm (from 10 to 90 %).');
    expect(out).toContain('No earlier report was given to hold this one against.');
  });

  test('puts cautions under the sentence, worst first', async () => {
    const cautions = [
      { code: 'other-target', words: 'The reference is another target’s; expected its own. Give it.' },
      { code: 'noisy', words: 'Much noise; expected less. Scan slower.' },
    ] as const;
    vi.mocked(calibrateSheet).mockResolvedValue({ ...outcome, calibration: { ...calibration, cautions } });
    const { out } = await listen(['calibrate', bench.path()]);
    const places = ['Good: a patch', '– The reference is another', '– Much noise', 'left-out ΔE00'].map((words) =>
      out.indexOf(words),
    );
    expect(places).toEqual(places.toSorted((a, b) => a - b));
    expect(places[0]).toBeGreaterThan(0);
  });

  test('--before holds it against an earlier report', async () => {
    // The bench's matrix is that of 'nominal'.
    const known = { ...calibration, model: 'nominal' as const };
    vi.mocked(calibrateSheet).mockResolvedValue({ ...outcome, calibration: known });
    await listen(['calibrate', bench.path(), '--out', bench.at('may.json')]);
    const [curve] = calibration.curves;
    const darker = { ...curve, linear: curve.linear.map((v) => v / 1.02) };
    vi.mocked(calibrateSheet).mockResolvedValue({
      ...outcome,
      calibration: { ...known, curves: [darker, darker, darker], patches: fourPatches },
      target: { ...outcome.target, layout: fourPatchLayout },
    });
    const { out, err } = await listen(['calibrate', bench.path(), '--before', bench.at('may.json')]);
    expect(err).toBe('');
    expect(out).toContain(
      'Since 3 May 2026 (may.json) the scanner has become 2.0 % brighter; its colours have moved by',
    );
  });

  test.each<[string, string, string]>([
    ['gone', 'gone.json', 'gone.json: no such file; expected an earlier report'],
    ['no report', 'other.json', 'other.json: no "format"; expected an earlier report'],
    ['an older version’s', 'old.json', 'old.json: no "map" of its colours (reports of earlier versions have none)'],
    ['damaged', 'torn.json', 'torn.json: line 1, column'],
  ])('--before that is %s: exit code 2', async (_, name, words) => {
    writeFileSync(bench.at('other.json'), '{ "ink": 1 }');
    writeFileSync(bench.at('old.json'), '{ "format": "wetline-calibration/1", "patches": [] }');
    writeFileSync(bench.at('torn.json'), '{ "format": ');
    const { code, out, err } = await listen(['calibrate', bench.path(), '--before', bench.at(name)]);
    expect([code, out]).toEqual([2, '']);
    expect(err).toMatch(ONE_LINE);
    expect(err).toContain(words);
    expect(calibrateSheet).not.toHaveBeenCalled();
  });

  test('the report that --before reads is never replaced, not even by --force', async () => {
    // The bench's matrix is that of 'nominal'.
    const known = { ...calibration, model: 'nominal' as const };
    vi.mocked(calibrateSheet).mockResolvedValue({ ...outcome, calibration: known });
    await listen(['calibrate', bench.path(), '--out', bench.at('may.json')]);
    const may = readFileSync(bench.at('may.json'), 'utf8');
    const both = ['--before', bench.at('may.json'), '--out', bench.at('may.json'), '--force'];
    const { code, err } = await listen(['calibrate', bench.path(), ...both]);
    expect(code).toBe(2);
    expect(err).toMatch(ONE_LINE);
    expect(err).toContain('which --before reads; it is never replaced. Choose another name.');
    expect(readFileSync(bench.at('may.json'), 'utf8')).toBe(may);
  });

  test('needs no regions', async () => {
    bench.change((s) => ((s.regions = []), (s.scans = [])));
    expect((await listen(['calibrate', bench.path()])).code).toBe(0);
  });

  test.each<[string, (s: Sound) => unknown, string]>([
    ['no target', (s) => Reflect.deleteProperty(s, 'target'), 'no "target"; expected one'],
    ['no scan', (s) => (s.target.scan = 'gone.png'), 'gone.png: no such file'],
    ['no reference', (s) => (s.target.reference = 'gone.txt'), 'gone.txt: no such file'],
    ['no layout', (s) => (s.target.layout = 'gone.json'), 'gone.json: no such file'],
  ])('%s: exit code 2', async (_, edit, words) => {
    bench.change(edit);
    const { code, out, err } = await listen(['calibrate', bench.path()]);
    expect([code, out]).toEqual([2, '']);
    expect(err).toMatch(ONE_LINE);
    expect(err).toContain(words);
    expect(calibrateSheet).not.toHaveBeenCalled();
  });
});
