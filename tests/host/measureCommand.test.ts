/** `wetline measure` with the measuring itself replaced: options, files, exit codes. */
import { existsSync, linkSync, mkdirSync, readdirSync, readFileSync, rmSync, symlinkSync } from 'node:fs';
import { beforeEach, describe, expect, test, vi } from 'vitest';
import type { Quantity } from '../../analysis/quantity.ts';
import { JobError } from '../../electron/jobs/jobError.ts';
import { calibrateSheet, measureSheet } from '../../electron/jobs/measureSheet.ts';
import { calibration, commandBench, findings, ONE_LINE, outcome } from './commandBench.ts';
import type { Sound } from './commandBench.ts';
import { listen } from './listen.ts';

vi.mock('../../electron/jobs/measureSheet.ts', () => ({
  measureSheet: vi.fn<typeof measureSheet>(),
  calibrateSheet: vi.fn<typeof calibrateSheet>(),
}));

const bench = commandBench();
beforeEach(() => {
  vi.mocked(measureSheet).mockReset().mockResolvedValue(outcome());
});

describe('measure', () => {
  test('prints a table', async () => {
    const { code, out, err } = await listen(['measure', bench.path()]);
    expect([code, err]).toEqual([0, '']);
    expect(out.split('\n')).toEqual([
      'Calibration good (rootPolynomial2): left-out ΔE00 median 0.61, 95 % 1.40, largest 2.20.',
      '',
      'quantity      of          value ± 2u                                        unit  verdict  notes',
      'paperColour   bare        L* 95.10 ± 0.40  a* −0.20 ± 0.60  b* 1.10 ± 0.60  Lab',
      'shading       ef          3.22 ± 0.62                                       ΔE00  clear    1',
      'bandPosition  run band 2  0.6123 ± 0.0042                                                  2',
      'bandColour    run band 3  —                                                 Lab            3',
      '',
      'Notes',
      '  1  narrow lines, corrected for the scanner’s blur',
      '  2  origin or front found, not given',
      '  3  too dark for the scanner to tell',
      '',
      'Limits between the words: shading 1, 2.5, 5.',
      '',
    ]);
  });

  test('says which colours are told through the film, and which through the map', async () => {
    const colour = (region: string, byMap: boolean): Quantity => ({
      ...findings[0],
      quantity: 'inkColour',
      subject: { regions: [region] },
      ...(byMap && { byMap: { value: [40, 1, -20], u: [1, 2, 2], method: 'inkColour/1' } }),
    });
    vi.mocked(measureSheet).mockResolvedValue(outcome({ findings: [colour('ef', true), colour('b', true)] }));
    expect((await listen(['measure', bench.path()])).out).toContain('\nColours through the fitted film: ef, b.\n');
    vi.mocked(measureSheet).mockResolvedValue(outcome({ findings: [colour('ef', true), colour('b', false)] }));
    expect((await listen(['measure', bench.path()])).out).toContain('film: ef. Through the target’s map: b.\n');
  });

  test('--json prints the findings file and nothing else', async () => {
    const { code, out, err } = await listen(['measure', bench.path(), '--json']);
    expect([code, err]).toEqual([0, '']);
    expect(JSON.parse(out)).toEqual({
      format: 'wetline-findings/1',
      calibration: {
        judgement: 'good',
        model: 'rootPolynomial2',
        leftOutMedian: 0.61,
        leftOutMean: 0.7,
        leftOut95: 1.4,
        leftOutMax: 2.2,
        greyMaxChroma: 0.3,
        patches: calibration.patches,
        candidates: calibration.candidates,
      },
      findings,
    });
  });

  test('--out and --csv write files and print nothing', async () => {
    const heard = await listen(['measure', bench.path(), '--out', bench.at('f.json'), '--csv', bench.at('f.csv')]);
    expect(heard).toEqual({ code: 0, out: '', err: '' });
    expect(readFileSync(bench.at('f.json'), 'utf8')).toBe((await listen(['measure', bench.path(), '--json'])).out);
    expect(readFileSync(bench.at('f.csv'), 'utf8').split('\n')).toEqual([
      'quantity,regions,band,on,value,L,a,b,unit,u,uL,ua,ub,verdict,flags,method',
      'paperColour,bare,,,,95.1,-0.2,1.1,Lab,,0.2,0.3,0.3,,,paperColour/1',
      'shading,ef,,,3.217,,,,ΔE00,0.31,,,,clear,blur-corrected,shading/1',
      'bandPosition,run,2,,0.6123,,,,1,0.0021,,,,,found,bandPosition/1',
      'bandColour,run,3,,,,,,Lab,,,,,,saturated,bandColour/1',
      '',
    ]);
  });

  test('--curves writes what lies behind the findings, a row a value, and nothing of findings without a curve', async () => {
    const absorption: Quantity = {
      quantity: 'absorption',
      subject: { regions: ['ef', 'swab'] },
      value: 585,
      unit: 'nm',
      u: 6,
      flags: [],
      curve: {
        x: { name: 'wavelength', unit: 'nm', values: [580, 590] },
        y: [{ name: 'k', unit: '1', values: [1, 0.97], u: [0.02, 0.03] }],
      },
      method: 'absorption/1',
    };
    vi.mocked(measureSheet).mockResolvedValue(outcome({ findings: [...findings, absorption] }));
    await listen(['measure', bench.path(), '--curves', bench.at('c.csv')]);
    expect(readFileSync(bench.at('c.csv'), 'utf8').split('\n')).toEqual([
      'quantity,regions,along,at,atUnit,name,value,unit,u',
      'absorption,ef; swab,wavelength,580,nm,k,1,1,0.02',
      'absorption,ef; swab,wavelength,590,nm,k,0.97,1,0.03',
      '',
    ]);
    const broken = {
      ...absorption,
      curve: { ...absorption.curve!, y: [{ ...absorption.curve!.y[0], values: [1, NaN] }] },
    };
    vi.mocked(measureSheet).mockResolvedValue(outcome({ findings: [broken] }));
    const heard = await listen(['measure', bench.path(), '--curves', bench.at('c.csv'), '--force']);
    expect(heard.err).toContain('absorption came out as no number');
    expect(readFileSync(bench.at('c.csv'), 'utf8')).not.toContain('NaN');
  });

  test('a region called like a formula is no formula in the table, and a negative number stays one', async () => {
    const odd: Quantity = { ...findings[1], subject: { regions: ['=1+1', 'x'] }, value: -0.5 };
    vi.mocked(measureSheet).mockResolvedValue(outcome({ findings: [...findings, odd] }));
    await listen(['measure', bench.path(), '--csv', bench.at('f.csv')]);
    expect(readFileSync(bench.at('f.csv'), 'utf8')).toContain("shading,'=1+1; x,,,-0.5,");
  });

  test('a file that exists is not replaced, and no work starts', async () => {
    bench.put('f.json', 'mine');
    const { code, err, out } = await listen([
      'measure',
      bench.path(),
      '--out',
      bench.at('f.json'),
      '--csv',
      bench.at('f.csv'),
    ]);
    expect([code, out]).toEqual([2, '']);
    expect(err).toMatch(ONE_LINE);
    expect(err).toContain('f.json exists and is not replaced; choose another name or add --force.');
    expect(measureSheet).not.toHaveBeenCalled();
    expect(readFileSync(bench.at('f.json'), 'utf8')).toBe('mine');
    expect(existsSync(bench.at('f.csv'))).toBe(false);
    expect((await listen(['measure', bench.path(), '--out', bench.at('f.json'), '--force'])).code).toBe(0);
    expect(readFileSync(bench.at('f.json'), 'utf8')).toContain('wetline-findings/1');
  });

  test.each<[string[], string]>([
    [['--out', 'new/f.json'], 'its folder does not exist'],
    [['--out', 'f', '--csv', 'f'], '--csv and --out both name'],
    [['--csv', 'f', '--curves', 'f'], '--curves and --csv both name'],
    [['--out', 'sheet.json', '--force'], 'which the sheet reads; it is never replaced'],
    [['--csv', 'white.png', '--force'], 'which the sheet reads; it is never replaced'],
    [['--csv', 'reference.txt', '--force'], 'which the sheet reads; it is never replaced'],
    [['--overlays', 'white.png', '--force'], 'a file; expected a folder'],
    [['--overlays', '.', '--force'], 'which the sheet reads; it is never replaced'],
  ])('%j is refused before any work', async (options, words) => {
    const { code, err } = await listen([
      'measure',
      bench.path(),
      ...options.map((o) => (o.startsWith('--') ? o : bench.at(o))),
    ]);
    expect(code).toBe(2);
    expect(err).toMatch(ONE_LINE);
    expect(err).toContain(words);
    expect(measureSheet).not.toHaveBeenCalled();
  });

  test.each([
    ['a symbolic link', symlinkSync],
    ['a hard link', linkSync],
  ])('a scan is not replaced through %s to it either', async (_, linked) => {
    const scan = readFileSync(bench.at('white.png'));
    linked(bench.at('white.png'), bench.at('mine.json'));
    const { code, err } = await listen(['measure', bench.path(), '--out', bench.at('mine.json'), '--force']);
    expect(code).toBe(2);
    expect(err).toContain('mine.json, which the sheet reads; it is never replaced');
    expect(readFileSync(bench.at('white.png')).equals(scan)).toBe(true);
    rmSync(bench.at('mine.json'));
  });

  test('a picture that exists is not replaced either', async () => {
    mkdirSync(bench.at('drawn'));
    bench.put('drawn/strip.png', 'mine');
    const { code, err } = await listen(['measure', bench.path(), '--overlays', bench.at('drawn')]);
    expect([code, vi.mocked(measureSheet).mock.calls.length]).toEqual([2, 0]);
    expect(err).toContain('strip.png exists and is not replaced');
    await listen(['measure', bench.path(), '--overlays', bench.at('drawn'), '--force']);
    expect(vi.mocked(measureSheet).mock.calls[0][1]).toMatchObject({ overlaysDir: bench.at('drawn'), force: true });
  });

  test('some regions could not be measured: the rest is written, exit code 1, one line a cause', async () => {
    bench.change((s) => (s.scans[1].file = 'gone.png'));
    vi.mocked(measureSheet).mockResolvedValue(
      outcome({
        findings: findings.slice(0, 2),
        problems: [
          { region: 'run', message: 'scan "strip": ' },
          { region: 'bare', message: 'too small' },
          { region: 'ef', message: 'too small' },
        ],
      }),
    );
    const { code, out, err } = await listen(['measure', bench.path(), '--out', bench.at('f.json')]);
    expect([code, out]).toEqual([1, '']);
    const lines = err.trimEnd().split('\n');
    expect(lines).toHaveLength(3);
    expect(lines[0]).toMatch(/^wetline: region "run": scan "strip": .*gone\.png: no such file/);
    expect(lines).toContain('wetline: regions "bare", "ef": too small');
    expect(JSON.parse(readFileSync(bench.at('f.json'), 'utf8')).findings).toHaveLength(2);
  });

  test('a picture that could not be drawn: exit code 1, and it is said', async () => {
    vi.mocked(measureSheet).mockResolvedValue(outcome({ undrawn: ['picture of "white": the disk is full'] }));
    const heard = await listen(['measure', bench.path(), '--overlays', bench.at('undrawn')], true);
    expect(heard).toMatchObject({
      code: 1,
      err: expect.stringContaining('wetline: picture of "white": the disk is full\n'),
    });
    expect(heard.err).not.toContain('pictures in');
  });

  test('the job names the same problems as the sheet: they are said once', async () => {
    bench.change((s) => (s.scans[1].file = 'gone.png'));
    vi.mocked(measureSheet).mockImplementation((loaded) => Promise.resolve(outcome({ problems: loaded.problems })));
    const { code, err } = await listen(['measure', bench.path()]);
    expect(code).toBe(1);
    expect(err).toMatch(ONE_LINE);
  });

  test('a region that is passed over in silence is a fault too', async () => {
    vi.mocked(measureSheet).mockResolvedValue(outcome({ findings: findings.slice(0, 2) }));
    const { code, err } = await listen(['measure', bench.path()]);
    expect(code).toBe(1);
    expect(err).toContain('region "run": gave no finding');
  });

  test('nothing could be measured: exit code 2 in one line, and nothing is written', async () => {
    vi.mocked(measureSheet).mockResolvedValue(
      outcome({
        findings: [],
        problems: ['bare', 'ef', 'run'].map((region) => ({ region, message: `bad ${region}` })),
      }),
    );
    const { code, err } = await listen(['measure', bench.path(), '--out', bench.at('f.json')]);
    expect(code).toBe(2);
    expect(err).toBe('wetline: region "bare": bad bare (and 2 more such faults)\n');
    expect(existsSync(bench.at('f.json'))).toBe(false);
  });

  test.each<[string, (s: Sound) => unknown, string]>([
    ['all scans missing', (s) => s.scans.forEach((scan) => (scan.file = 'gone.png')), 'gone.png: no such file'],
    ['the target missing', (s) => (s.target.scan = 'gone.png'), 'gone.png: no such file'],
    ['all boxes outside', (s) => s.regions.forEach((r) => (r.boxMm = [90, 0, 9, 9])), 'expected the box inside it'],
    ['no regions', (s) => (s.regions = []), 'no regions; expected at least one'],
    ['an unknown key', (s) => Object.assign(s, { inks: 1 }), 'inks: unknown key'],
  ])('%s: exit code 2 before any work', async (_, edit, words) => {
    bench.change(edit);
    const { code, out, err } = await listen(['measure', bench.path(), '--out', bench.at('f.json')]);
    expect([code, out]).toEqual([2, '']);
    expect(err).toMatch(ONE_LINE);
    expect(err).toContain(words);
    expect(measureSheet).not.toHaveBeenCalled();
    expect(existsSync(bench.at('f.json'))).toBe(false);
  });

  test('a number that is none is left null and said', async () => {
    const broken: Quantity = { ...findings[0], value: [95, Number.NaN, 1] };
    vi.mocked(measureSheet).mockResolvedValue(outcome({ findings: [broken, ...findings.slice(1)] }));
    const { code, out, err } = await listen(['measure', bench.path(), '--json']);
    expect(code).toBe(1);
    expect(err).toContain('region "bare": paperColour came out as no number');
    expect(JSON.parse(out).findings[0]).toMatchObject({ value: null, u: null, flags: ['cannot-tell'] });
  });

  test('a job that fails as a whole', async () => {
    vi.mocked(measureSheet).mockRejectedValue(new JobError('target-not-found', 'no discs\nin target.png'));
    expect(await listen(['measure', bench.path()])).toEqual({
      code: 2,
      out: '',
      err: 'wetline: no discs in target.png\n',
    });
  });

  test('a defect of the program is called one', async () => {
    vi.mocked(measureSheet).mockRejectedValue(new TypeError('x is undefined.'));
    const { code, err } = await listen(['measure', bench.path()]);
    expect(code).toBe(2);
    expect(err).toBe('wetline: unexpected: x is undefined. This is a defect of the program; --debug tells where.\n');
  });

  test('warnings are said, unless quiet', async () => {
    bench.change((s) => Object.assign(s.scans[0], { dpi: 240 }));
    expect((await listen(['measure', bench.path()])).err).toMatch(
      /^wetline: note: scan "white": .*the sheet's is used\n$/,
    );
    expect((await listen(['measure', bench.path(), '--quiet'])).err).toBe('');
  });

  test('progress is one line that is rewritten, for a person only', async () => {
    vi.mocked(measureSheet).mockImplementation((_, options) => {
      options?.onProgress?.(1, 3, 'target\n');
      options?.onProgress?.(2, 3, 'ef');
      return Promise.resolve(outcome());
    });
    expect((await listen(['measure', bench.path()])).err).toBe('');
    expect((await listen(['measure', bench.path(), '--quiet'], true)).err).toBe('');
    const clear = '\r\u001b[2K';
    expect((await listen(['measure', bench.path()], true)).err).toBe(
      `${clear}1 of 3  target${clear}2 of 3  ef${clear}`,
    );
  });

  test.each(['SIGINT', 'SIGTERM', 'SIGHUP'] as const)(
    '%s stops the work: exit code 130, nothing written',
    async (signal) => {
      vi.mocked(measureSheet).mockImplementation((_, options) => {
        const stopped = new Promise<never>((_resolve, reject) => {
          options?.signal?.addEventListener('abort', () => reject(new Error('aborted deep inside')));
        });
        setImmediate(() => process.emit(signal));
        return stopped;
      });
      const before = process.listenerCount(signal);
      const heard = await listen(['measure', bench.path(), '--out', bench.at('f.json')]);
      expect(heard).toEqual({ code: 130, out: '', err: 'wetline: stopped; nothing is half-written.\n' });
      expect(existsSync(bench.at('f.json'))).toBe(false);
      expect(process.listenerCount(signal)).toBe(before);
    },
  );
});

test('no command leaves files beside what was asked for', async () => {
  const before = readdirSync(bench.path()).toSorted();
  await listen(['measure', bench.path(), '--out', bench.at('f.json')]);
  await listen(['measure', bench.path(), '--out', bench.at('f.json')]);
  expect(readdirSync(bench.path()).toSorted()).toEqual([...before, 'f.json'].toSorted());
});
