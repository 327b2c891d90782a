/** What studies of writing ask of the generator beyond the sample: a stub, a pen with another ink in it, sheen. */
import { describe, expect, test } from 'vitest';
import { doseTable } from '../../sample-scans/generator/doseTable.ts';
import type { Pass } from '../../sample-scans/generator/hand.ts';
import { drawInk, mixedInk } from '../../sample-scans/generator/ink.ts';
import { emptyField, type InkField } from '../../sample-scans/generator/inkField.ts';
import { drawPaper } from '../../sample-scans/generator/paper.ts';
import { layPasses } from '../../sample-scans/generator/pen.ts';
import { stream } from '../../sample-scans/generator/random.ts';
import { drawScanner } from '../../sample-scans/generator/scanner.ts';
import { drawSheen, laySheen, sheenTruth } from '../../sample-scans/generator/sheen.ts';

const CALM = {
  spread: 0,
  downWet: 0,
  downWide: 0,
  wetStart: 0,
  poolEnd: 0,
  flowSd: 0,
  rim: 0,
  roughMm: 0,
};

function line(angleDeg: number): Pass {
  const steps = Array.from({ length: 120 }, (_, i) => (i - 60) * 0.07);
  const [dx, dy] = [Math.cos((angleDeg * Math.PI) / 180), Math.sin((angleDeg * Math.PI) / 180)];
  return {
    x: Float64Array.from(steps, (s) => 6 + s * dx),
    y: Float64Array.from(steps, (s) => 6 + s * dy),
    endsWord: true,
  };
}

function laid(passes: readonly Pass[], stub?: { thinMm: number; angleDeg: number }): InkField {
  const field = emptyField([0, 0, 12, 12], 300);
  const nib = { name: 'n', widthMm: 1.1, flow: 1, ...(stub && { stub }) };
  layPasses(field, passes, nib, CALM, stream(1, 'pen'));
  return field;
}

/** Width of a line about the field's middle: the inked cells within 2 mm of it over the length there. */
function widthMm(field: InkField): number {
  const width = field.widthPx * field.factor;
  let cells = 0;
  for (let i = 0; i < field.dose.length; i++) {
    const away = Math.hypot((i % width) / field.finePerMm - 6, Math.floor(i / width) / field.finePerMm - 6);
    if (field.dose[i] > 0.5 && away < 2) cells++;
  }
  return cells / field.finePerMm ** 2 / 4;
}

describe('a stub', () => {
  test.each([
    [-30, 0.35],
    [60, 1.1],
    [15, Math.hypot(1.1, 0.35) * Math.SQRT1_2],
  ])('drawn at %d degrees', (angleDeg, expected) => {
    expect(widthMm(laid([line(angleDeg)], { thinMm: 0.35, angleDeg: -30 }))).toBeCloseTo(expected, 1);
  });

  test('a round nib is as wide whatever its way', () => {
    expect(widthMm(laid([line(-30)]))).toBeCloseTo(widthMm(laid([line(60)])), 1);
  });
});

test('where two passes cross both are whole in the middle, and each by itself is not doubled', () => {
  const { layers, within } = laid([line(0), line(90)]);
  const both = layers.filter((n, i) => n === 2 && within![i] === 2).length;
  const touched = layers.filter((n) => n === 2).length;
  expect(both).toBeGreaterThan(100);
  expect(touched).toBeGreaterThan(both);
  expect(laid([line(0)]).within!.some((n) => n > 1)).toBe(false);
});

test('a pen with another ink in it', () => {
  const [own, other] = [drawInk(1), drawInk(2)];
  expect(mixedInk(own, { inkSeed: 2, share: 0 }).absorption).toEqual(own.absorption);
  expect(mixedInk(own, { inkSeed: 2, share: 1 }).absorption).toEqual(other.absorption);
  const half = mixedInk(own, { inkSeed: 2, share: 0.5 }).absorption;
  half.forEach((k, i) => expect(k).toBeCloseTo((own.absorption[i] + other.absorption[i]) / 2, 9));
});

test('an ink of a kind that no seed draws', () => {
  expect(drawInk(3, { kind: 'yellow' }).dyes.map(({ family }) => family)).toContain('yellow');
  expect(Array.from({ length: 60 }, (_, seed) => drawInk(seed).kind)).not.toContain('yellow');
});

describe('sheen', () => {
  const ink = drawInk(2);
  const scanner = drawScanner(2);
  const table = doseTable(ink, drawPaper(2, 'brightWhite', 'white').reflectance, scanner);
  const ramp = (): InkField => {
    const field = emptyField([0, 0, 8, 8], 300);
    const width = field.widthPx * field.factor;
    field.dose.forEach((_, i) => (field.dose[i] = 0.4 + (2 * (i % width)) / width));
    field.interior.fill(1);
    field.layers.fill(1);
    return field;
  };

  test('lies on the densest ink alone, in patches, and more of it is off the film’s colours the stronger it is', () => {
    const share = (amount: number): number => {
      const sheen = drawSheen(5, ink, scanner, amount);
      const field = laySheen(ramp(), sheen, 5, 'r');
      const bare = field.dose.filter((_, i) => field.sheen![i] === 0);
      const lowest = field.dose.reduce(
        (least, dose, i) => (field.sheen![i] > 0 ? Math.min(least, dose) : least),
        Infinity,
      );
      expect(lowest).toBeGreaterThan(0.4 + 2 * (1 - sheen.share) - 0.05);
      expect(bare.reduce((most, dose) => Math.max(most, dose), 0)).toBeGreaterThan(lowest);
      return sheenTruth(field, table, sheen);
    };
    const [faint, strong] = [share(0.03), share(0.12)];
    expect(strong).toBeGreaterThan(faint);
    expect(strong).toBeGreaterThan(0.02);
    expect(strong).toBeLessThan(0.5);
  });

  test('none is none', () => {
    expect(sheenTruth(ramp(), table, drawSheen(5, ink, scanner, 0.1))).toBe(0);
  });
});
