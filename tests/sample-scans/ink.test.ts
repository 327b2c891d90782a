/** How ink is laid: passes add up, a line is as wide as its nib says, truth agrees with plain arithmetic. */
import { describe, expect, test } from 'vitest';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { xyzToLab } from '../../analysis/colour/lab.ts';
import { doseTable, entryOf, xyzAt } from '../../sample-scans/generator/doseTable.ts';
import type { Pass } from '../../sample-scans/generator/hand.ts';
import { STEP_MM } from '../../sample-scans/generator/hand.ts';
import { drawInk } from '../../sample-scans/generator/ink.ts';
import { emptyField } from '../../sample-scans/generator/inkField.ts';
import type { InkField } from '../../sample-scans/generator/inkField.ts';
import { strokeTruth, swabTruth } from '../../sample-scans/generator/inkTruth.ts';
import { drawPaper } from '../../sample-scans/generator/paper.ts';
import { layPasses } from '../../sample-scans/generator/pen.ts';
import type { PenHabit } from '../../sample-scans/generator/pen.ts';
import { stream } from '../../sample-scans/generator/random.ts';
import { drawScanner } from '../../sample-scans/generator/scanner.ts';

const steady: PenHabit = {
  spread: 0,
  downWet: 0,
  downWide: 0,
  wetStart: 0,
  poolEnd: 0,
  flowSd: 0,
  rim: 0,
  roughMm: 0,
};
const nib = { name: 'M', widthMm: 0.7, flow: 1.3 };

function line(from: readonly [number, number], to: readonly [number, number]): Pass {
  const n = Math.round(Math.hypot(to[0] - from[0], to[1] - from[1]) / STEP_MM) + 1;
  const along = (a: number, b: number): Float64Array =>
    Float64Array.from({ length: n }, (_, i) => a + ((b - a) * i) / (n - 1));
  return { x: along(from[0], to[0]), y: along(from[1], to[1]), endsWord: true };
}

function cellAt(field: InkField, xMm: number, yMm: number): number {
  const x = Math.floor(xMm * field.finePerMm) - field.x0Px * field.factor;
  const y = Math.floor(yMm * field.finePerMm) - field.y0Px * field.factor;
  return y * field.widthPx * field.factor + x;
}

describe('two steady strokes that cross', () => {
  const field = emptyField([0, 0, 20, 20], 300);
  layPasses(field, [line([3, 10], [17, 10]), line([10, 3], [10, 17])], nib, steady, stream(1, 'pen'));

  test('add their doses and count two layers where they cross, one elsewhere, none beside', () => {
    const crossing = cellAt(field, 10, 10);
    const alone = cellAt(field, 6, 10);
    const bare = cellAt(field, 6, 6);
    expect(field.layers[crossing]).toBe(2);
    expect(field.layers[alone]).toBe(1);
    expect(field.layers[bare]).toBe(0);
    expect(field.dose[crossing] / field.dose[alone]).toBeCloseTo(2, 1);
    expect(field.dose[bare]).toBe(0);
  });

  test('are as wide as the nib', () => {
    const column = Array.from(
      { length: 60 },
      (_, i) => field.dose[cellAt(field, 6, 10 + (i - 29.5) / field.finePerMm)],
    );
    const area = column.reduce((a, b) => a + b, 0) / field.finePerMm;
    // The 3 % slow variation of breadth is the pen's own.
    expect(Math.abs(area / field.dose[cellAt(field, 6, 10)] / nib.widthMm - 1)).toBeLessThan(0.08);
  });
});

test('a stroke drawn back over itself lays two layers, but not where it turns', () => {
  const field = emptyField([0, 0, 30, 10], 300);
  const there = line([5, 5], [25, 5]);
  const back = line([25, 5], [5, 5]);
  const both: Pass = {
    x: Float64Array.from([...there.x, ...back.x.slice(1)]),
    y: Float64Array.from([...there.y, ...back.y.slice(1)]),
    endsWord: true,
  };
  layPasses(field, [both], nib, steady, stream(1, 'pen'));
  expect(field.layers[cellAt(field, 10, 5)]).toBe(2);
  expect(field.layers[cellAt(field, 24.9, 5)]).toBe(1);
});

describe('truth of a field with two doses', () => {
  const table = doseTable(drawInk(8), drawPaper(8, 'brightWhite', 'white').reflectance, drawScanner(8));
  const field = emptyField([0, 0, 10, 10], 300);
  const width = field.widthPx * field.factor;
  field.dose.forEach((_, i) => (field.dose[i] = i % width < width / 2 ? 0.8 : 1.6));
  field.layers.fill(1);
  field.interior.fill(1);
  const light = xyzAt(table, entryOf(table, 0.8));
  const dark = xyzAt(table, entryOf(table, 1.6));

  test('shading is the difference of the two, ink colour the mean of their light', () => {
    const { colour, shading } = strokeTruth(field, table);
    expect(shading.dE00).toBeCloseTo(deltaE2000(xyzToLab(dark), xyzToLab(light)), 2);
    expect(shading.dL).toBeCloseTo(xyzToLab(light)[0] - xyzToLab(dark)[0], 2);
    const mean = xyzToLab([(light[0] + dark[0]) / 2, (light[1] + dark[1]) / 2, (light[2] + dark[2]) / 2]);
    expect(deltaE2000(xyzToLab(colour.xyz), mean)).toBeLessThan(0.02);
    expect(colour.meanDose).toBeCloseTo(1.2, 2);
    expect(colour.twoLayers).toBeNull();
  });

  test('over a swab stripes finer than a millimetre average out, broad halves do not', () => {
    expect(swabTruth(field, table).variation.dE00).toBeCloseTo(deltaE2000(xyzToLab(dark), xyzToLab(light)), 1);
    const striped = { ...field, dose: field.dose.map((_, i) => (i % 4 < 2 ? 0.8 : 1.6)) };
    expect(swabTruth(striped, table).variation.dE00).toBeLessThan(0.5);
  });

  test('where strokes lie double, their colour is kept apart', () => {
    const doubled = { ...field, layers: field.layers.map((_, i) => (i % width < width / 2 ? 1 : 2)) };
    const { colour } = strokeTruth(doubled, table);
    expect(colour.meanDose).toBeCloseTo(0.8, 2);
    expect(colour.twoLayers).not.toBeNull();
  });
});
