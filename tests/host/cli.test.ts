/** What the command line says about itself and about words it does not know. */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { ONE_LINE } from './commandBench.ts';
import { listen } from './listen.ts';

describe('what it is', () => {
  test.each([[[]], [['help']], [['--help']], [['-h']], [['measure', '--help']]])('%j prints the help', async (argv) => {
    const { code, out, err } = await listen(argv);
    expect([code, err]).toEqual([0, '']);
    for (const command of ['measure', 'calibrate', 'card', 'teach', 'check'])
      expect(out).toContain(`wetline ${command}`);
    for (const unbuilt of ['report']) expect(out).not.toContain(`wetline ${unbuilt}`);
  });
  test('--version', async () => {
    const { version }: { version: string } = JSON.parse(readFileSync('package.json', 'utf8'));
    expect(await listen(['--version'])).toEqual({ code: 0, out: `${version}\n`, err: '' });
  });
});

describe('what it cannot do is said in one line, exit code 2', () => {
  test.each<[string[], string]>([
    [
      ['mesure'],
      'unknown command "mesure"; expected measure, calibrate, card, teach, check, help; did you mean "measure"?',
    ],
    [['report', 'x'], 'unknown command "report"'],
    [['measure'], 'measure: no sheet'],
    [['measure', ''], 'measure: an empty name (""); expected a file'],
    [['--quiet', 'measure', 'a'], '--quiet stands before the command; expected the command first'],
    [['measure', 'a', 'b'], '2 sheets (a, b); expected one'],
    [
      ['measure', 'a', '--ouy', 'x'],
      'unknown option --ouy; expected --out, --csv, --curves, --overlays, --json, --force, --quiet; did you mean "--out"?',
    ],
    [['measure', 'a', '--out'], '--out has no value'],
    [['measure', 'a', '--out', '--force'], '--out has no value'],
    [['measure', 'a', '--out='], '--out has no value'],
    [['measure', 'a', '--force=yes'], '--force takes no value'],
    [['measure', 'a', '--out', 'x', '--out', 'y'], '--out is given twice'],
    [['measure', 'a', '-x'], 'unknown option -x'],
    [['measure', 'a', '—out', 'x'], '—out begins with a long dash; expected two hyphens (--)'],
    [['measure', 'a', '--toString'], 'unknown option --toString'],
    [['calibrate'], 'calibrate: no sheet'],
    [['calibrate', 'a', '--overlays', 'x'], 'unknown option --overlays'],
    [['card'], 'card: no --out'],
    [['card', 'x', '--out', 'y.pdf'], 'card: takes no sheet, but has x'],
    [['card', '--out', 'y.pdf', '--size', 'leter'], '--size is "leter"; expected a4 or letter; did you mean "letter"?'],
    [['card', '--out', 'y.pdf', '--layout', 'y.pdf'], '--out and --layout both name y.pdf'],
    [['teach'], 'teach: no sheet'],
    [['teach', 'nowhere.json', '--scan', 'a.tif', '--scan', 'b.tif'], 'nowhere.json: no such file'],
    [['check'], 'check: no file'],
    [['check', '--jsn', 'x'], 'did you mean "--json"?'],
    [['measure', 'nowhere.json'], 'nowhere.json: no such file; expected a sheet'],
    [['calibrate', 'nowhere.json'], 'nowhere.json: no such file'],
  ])('%j', async (argv, words) => {
    const { code, out, err } = await listen(argv);
    expect([code, out]).toEqual([2, '']);
    expect(err).toMatch(ONE_LINE);
    expect(err).toContain(words);
  });

  test('where in the program, on request', async () => {
    const { code, err } = await listen(['--debug', 'mesure']);
    expect(code).toBe(2);
    expect(err).toContain('cli.ts');
  });
});
