/** `wetline card`: two files, whole or not at all. */
import { existsSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { WETLINE_CARD } from '../../analysis/calibrate/card/plan.ts';
import { cardPdf } from '../../electron/card/cardPdf.ts';
import { parseLayout } from '../../electron/sheet/layout.ts';
import { commandBench, ONE_LINE } from './commandBench.ts';
import { listen } from './listen.ts';

const bench = commandBench();

describe('card', () => {
  test('A4 unless told, and says so; the layout lies beside it', async () => {
    const { code, out, err } = await listen(['card', '--out', bench.at('card.pdf')]);
    expect([code, err]).toEqual([0, '']);
    expect(out).toContain('the card on A4; print it at 100 % without colour management');
    expect(readFileSync(bench.at('card.pdf'))).toEqual(Buffer.from(await cardPdf('a4')));
    expect(parseLayout(readFileSync(bench.at('card-layout.json'), 'utf8'), 'l')).toEqual(WETLINE_CARD.layout);
  });

  test('--size, --layout, --quiet', async () => {
    const argv = ['card', '--out', bench.at('c.pdf'), '--size', 'Letter', '--layout', bench.at('l.json'), '--quiet'];
    expect(await listen(argv)).toEqual({ code: 0, out: '', err: '' });
    expect(readFileSync(bench.at('c.pdf'))).toEqual(Buffer.from(await cardPdf('letter')));
    expect(existsSync(bench.at('l.json'))).toBe(true);
    expect(existsSync(bench.at('c-layout.json'))).toBe(false);
  });

  test('replaces neither file unless told, and writes none when one cannot be written', async () => {
    bench.put('card-layout.json', '{}');
    const argv = ['card', '--out', bench.at('card.pdf')];
    const { code, err } = await listen(argv);
    expect(code).toBe(2);
    expect(err).toMatch(ONE_LINE);
    expect(err).toContain('card-layout.json exists and is not replaced');
    expect(existsSync(bench.at('card.pdf'))).toBe(false);
    expect((await listen([...argv, '--force'])).code).toBe(0);
    expect(readFileSync(bench.at('card-layout.json'), 'utf8')).toContain('wetline-target/1');
  });
});
