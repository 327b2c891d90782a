/** A band set by hand that the fit leaves no colour is told of in one line. */
import { expect, test } from 'vitest';
import type { Flag, Quantity } from '../../analysis/quantity.ts';
import { untoldBands } from '../../electron/commands/untoldBands.ts';
import type { LoadedRegion } from '../../electron/sheet/loadedSheet.ts';

const strip = {
  id: 'run',
  scan: 'strip',
  kind: 'strip' as const,
  boxMm: [0, 0, 20, 90] as [number, number, number, number],
  paper: null,
  travel: 'up' as const,
  bands: [{ rF: 0.42 }, { rF: 0.8 }, { rF: 0.6, removed: true as const }, { rF: 0.2, with: 0.3 }],
} satisfies LoadedRegion;

function place(value: number | null, flags: Flag[] = [], region = 'run'): Quantity {
  return {
    quantity: 'bandPosition',
    subject: { regions: [region], band: 1 },
    value,
    unit: '1',
    u: null,
    flags,
    method: 'bandPosition/3',
  };
}

test('names the strip and the place of each that is not told, and only those', () => {
  const lines = untoldBands([strip], [place(0.807), place(0.6), place(0.42, [], 'another')]);
  expect(lines).toHaveLength(1);
  expect(lines[0]).toMatch(/^strip "run": no band is told at R_F 0\.420, where one was set by hand/);
  expect(untoldBands([strip], [place(0.43), place(0.78)])).toEqual([]);
});

test('without a front no word is used, and the line says what to give', () => {
  expect(untoldBands([strip], [place(null, ['front-not-found'])])[0]).toContain('Give "originMm" and "frontMm"');
});

test('a strip without words has no line', () => {
  const { bands: _, ...plain } = strip;
  expect(untoldBands([plain], [place(0.1)])).toEqual([]);
});
