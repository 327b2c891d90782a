/** `wetline teach` with the teaching itself replaced. */
import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { beforeEach, describe, expect, test, vi } from 'vitest';
import { WETLINE_CARD } from '../../analysis/calibrate/card/plan.ts';
import { labD50 } from '../../analysis/colour/lab.ts';
import { JobError } from '../../electron/jobs/jobError.ts';
import { layoutJson } from '../../electron/card/layoutJson.ts';
import type { Taught } from '../../electron/jobs/teach.ts';
import type { TeachTask } from '../../electron/jobs/teachTask.ts';
import { parseReference } from '../../electron/sheet/reference.ts';
import { commandBench, ONE_LINE, type Sound } from './commandBench.ts';
import { listen } from './listen.ts';

const teaching = vi.hoisted(() => ({ teach: vi.fn<(task: TeachTask) => Promise<Taught>>() }));
vi.mock('../../electron/jobs/pool.ts', () => ({
  WorkerPool: class {
    teach = teaching.teach;
    close = (): Promise<void> => Promise.resolve();
  },
}));

const taught: Taught = {
  reference: {
    patches: new Map([
      ['G01', { lab: labD50(95, 0.2, 1), u: [0.3, 0.5, 0.5] }],
      ['C01', { lab: labD50(45, 52, -11), u: [0.6, 2, 2] }],
    ]),
    notes: ['taught by one scan'],
  },
  warnings: ['target.png: the calibration is poor'],
};

const bench = commandBench();
beforeEach(() => {
  teaching.teach.mockReset().mockResolvedValue(taught);
});

describe('teach', () => {
  test('writes the reference with its u, dated, and tells what it is worth', async () => {
    const { code, out, err } = await listen([
      'teach',
      bench.path(),
      '--out',
      bench.at('card.txt'),
      '--printer',
      'office',
    ]);
    expect(code).toBe(0);
    expect(out).toContain('card.txt: 2 patches, each known to ± 0.8 ΔE*ab in the median, ± 2.9 at worst');
    expect(out).toContain('taught by one scan');
    expect(err).toBe('wetline: note: target.png: the calibration is poor\n');
    const text = readFileSync(bench.at('card.txt'), 'utf8');
    expect(text).toMatch(/^CREATED "20\d\d-\d\d-\d\d"$/m);
    expect(text).toContain('PRINTER "office"');
    expect(text).toContain('taught by four squares');
    expect(parseReference(text, 'card.txt').patches.get('C01')).toEqual({ lab: labD50(45, 52, -11), u: [0.6, 2, 2] });
  });

  test('prints it without --out', async () => {
    const { out } = await listen(['teach', bench.path(), '--quiet']);
    expect(out.split('\n')[0]).toBe('CGATS.17');
  });

  test('the sheet’s target is what is known, the card is this program’s own; further scans have no points given', async () => {
    bench.change((s) =>
      Object.assign(s.target, {
        pointsMm: [
          [1, 1],
          [21, 1],
          [21, 11],
          [1, 11],
        ],
      }),
    );
    const argv = ['teach', bench.path(), '--scan', bench.at('white.png'), '--scan', bench.at('strip.png')];
    expect((await listen(argv)).code).toBe(0);
    const [{ scans, card }] = teaching.teach.mock.calls[0];
    expect(card).toEqual(WETLINE_CARD.layout);
    expect(scans.map((s) => s.info.file)).toEqual(
      ['target.png', 'white.png', 'strip.png'].map((f) => resolve(bench.at(f))),
    );
    expect(scans.map((s) => s.layout.name)).toEqual(Array.from({ length: 3 }, () => 'four squares'));
    expect(scans.map((s) => s.pointsMm === null)).toEqual([false, true, true]);
  });

  test('--layout: another card', async () => {
    bench.put('other.json', layoutJson().replace('Wetline card', 'Another card'));
    await listen(['teach', bench.path(), '--layout', bench.at('other.json')]);
    expect(teaching.teach.mock.calls[0][0].card.name).toContain('Another card');
  });
});

describe('refused in one line, exit code 2, nothing written', () => {
  test.each<[string, (s: Sound) => unknown, string[], string]>([
    ['no target', (s) => Reflect.deleteProperty(s, 'target'), [], 'no "target"; expected the one with known values'],
    ['no reference', (s) => (s.target.reference = 'gone.txt'), [], 'gone.txt: no such file'],
    ['no layout', () => undefined, ['--layout', 'gone.json'], '--layout: gone.json: no such file'],
    ['no scan', () => undefined, ['--scan', 'gone.tif'], 'gone.tif: no such file'],
    ['an output that is an input', () => undefined, ['--out', 'REFERENCE'], 'which the sheet reads'],
    ['the same scan twice', () => undefined, ['--scan', 'TARGET'], 'is taken already; a scan counts once'],
    [
      'the card as its own teacher',
      () => undefined,
      ['--layout', 'LAYOUT'],
      'the card that is to be taught; expected another',
    ],
  ])('%s', async (_, edit, options, words) => {
    bench.change(edit);
    const named = new Map([
      ['REFERENCE', bench.at('reference.txt')],
      ['TARGET', bench.at('target.png')],
      ['LAYOUT', bench.at('layout.json')],
    ]);
    const { code, out, err } = await listen(['teach', bench.path(), ...options.map((o) => named.get(o) ?? o)]);
    expect([code, out]).toEqual([2, '']);
    expect(err).toMatch(ONE_LINE);
    expect(err).toContain(words);
    expect(teaching.teach).not.toHaveBeenCalled();
  });

  test('what teaching itself says', async () => {
    teaching.teach.mockRejectedValue(new JobError('card-resized', 'printed at 96.0 % of its size'));
    const { code, err } = await listen(['teach', bench.path(), '--out', bench.at('card.txt')]);
    expect([code, err]).toEqual([2, 'wetline: printed at 96.0 % of its size\n']);
    expect(() => readFileSync(bench.at('card.txt'))).toThrow('ENOENT');
  });
});
