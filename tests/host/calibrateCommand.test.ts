/** `wetline calibrate` with the calibrating itself replaced. */
import { readFileSync } from 'node:fs';
import { beforeEach, describe, expect, test, vi } from 'vitest';
import type { Calibration } from '../../analysis/calibrate/calibration.ts';
import { calibrateSheet, measureSheet } from '../../electron/jobs/measureSheet.ts';
import { calibration, commandBench, ONE_LINE } from './commandBench.ts';
import type { Sound } from './commandBench.ts';
import { listen } from './listen.ts';

vi.mock('../../electron/jobs/measureSheet.ts', () => ({
  measureSheet: vi.fn<typeof measureSheet>(),
  calibrateSheet: vi.fn<typeof calibrateSheet>(),
}));

const bench = commandBench();
beforeEach(() => {
  vi.mocked(calibrateSheet).mockReset().mockResolvedValue({ calibration });
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
    vi.mocked(calibrateSheet).mockResolvedValue({ calibration: { ...calibration, judgement, leftOutMedian } });
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
