/** CIEDE2000, scalar and over arrays, against the published pairs and an independent library. */
import { differenceCiede2000 } from 'culori';
import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { labD50 } from '../../analysis/colour/lab.ts';
import { deltaE2000Array } from '../../analysis/colour/labArrays.ts';
import type { LabD50 } from '../../analysis/colour/lab.ts';
import { readVectors } from '../vectors/readVectors.ts';

fc.configureGlobal({ seed: 2000 });

/** Sharma, Wu & Dalal (2005), Color Res. Appl. 30(1), 21–30, Table 1. */
const sharma = readVectors('ciede2000_sharma2005.csv', { rows: 34, sha256: '9ceaeaaa69a1' }).map((row) => ({
  pair: row.number('pair'),
  lab1: labD50(...row.numbers('L1', 'a1', 'b1')),
  lab2: labD50(...row.numbers('L2', 'a2', 'b2')),
  published: row.number('dE00_published'),
  recomputed: row.number('dE00_recomputed_10dp'),
}));
/** Half of the last printed digit, and a hair for the pairs that fall on it. */
const PRINTED = 5.01e-5;

const component = fc.double({ min: -128, max: 128, noNaN: true });
const lab = fc
  .tuple(fc.double({ min: 0, max: 100, noNaN: true }), component, component)
  .map(([L, a, b]) => labD50(L, a, b));
/** Colours as a typed array holds them, so that scalar and array see the same numbers. */
const lab32 = lab.map(([L, a, b]) => labD50(Math.fround(L), Math.fround(a), Math.fround(b)));

function againstOne(lab1: LabD50, reference: LabD50): number {
  const out = new Float32Array(1);
  deltaE2000Array(Float32Array.from(lab1), reference, out);
  return out[0];
}

function oppositeHues([, a1, b1]: LabD50, [, a2, b2]: LabD50): boolean {
  const product = Math.hypot(a1, b1) * Math.hypot(a2, b2);
  return a1 * a2 + b1 * b2 < 0 && Math.abs(a1 * b2 - b1 * a2) < 1e-6 * product;
}

describe('Sharma 2005, Table 1', () => {
  test.each(sharma)('pair $pair', ({ lab1, lab2, published, recomputed }) => {
    for (const [x, y] of [
      [lab1, lab2],
      [lab2, lab1],
    ]) {
      expect(Math.abs(deltaE2000(x, y) - published)).toBeLessThan(PRINTED);
      expect(Math.abs(deltaE2000(x, y) - recomputed)).toBeLessThan(1e-9);
      expect(Math.abs(againstOne(x, y) - published)).toBeLessThan(PRINTED);
    }
  });
});

describe('ΔE00 as a function', () => {
  test('a colour differs from itself by 0', () => {
    fc.assert(
      fc.property(lab32, (x) => {
        expect(deltaE2000(x, x)).toBe(0);
        expect(againstOne(x, x)).toBe(0);
      }),
    );
  });

  test('the order of the two colours does not matter', () => {
    fc.assert(
      fc.property(lab32, lab32, (x, y) => {
        expect(deltaE2000(x, y)).toBeCloseTo(deltaE2000(y, x), 9);
        expect(againstOne(x, y)).toBeCloseTo(againstOne(y, x), 4);
      }),
    );
  });

  test('is a number ≥ 0 for any finite colours, also impossible ones', () => {
    const wild = fc.double({ min: -1e4, max: 1e4, noNaN: true });
    fc.assert(
      fc.property(wild, wild, wild, wild, wild, wild, (L1, a1, b1, L2, a2, b2) => {
        const [x, y] = [labD50(L1, a1, b1), labD50(L2, a2, b2)];
        for (const dE of [deltaE2000(x, y), againstOne(x, y)]) {
          expect(Number.isFinite(dE)).toBe(true);
          expect(dE).toBeGreaterThanOrEqual(0);
        }
      }),
    );
  });

  test('between two greys only lightness counts: ΔL over S_L (eq. 18)', () => {
    const SL = 1 + (0.015 * 30 ** 2) / Math.sqrt(20 + 30 ** 2);
    expect(deltaE2000(labD50(18, 0, 0), labD50(22, 0, 0))).toBeCloseTo(4 / SL, 9);
    expect(againstOne(labD50(18, 0, 0), labD50(22, 0, 0))).toBeCloseTo(4 / SL, 5);
  });

  test('culori 4 agrees on random colours (its lab65 mode: in other modes it first converts the white)', () => {
    const culori = differenceCiede2000();
    fc.assert(
      fc.property(lab, lab, (x, y) => {
        fc.pre(!oppositeHues(x, y)); // culori leaves the side of that step to rounding
        const theirs = culori(
          { mode: 'lab65', l: x[0], a: x[1], b: x[2] },
          { mode: 'lab65', l: y[0], a: y[1], b: y[2] },
        );
        expect(deltaE2000(x, y)).toBeCloseTo(theirs, 8);
      }),
      { numRuns: 2000 },
    );
  });
});

describe('arrays without trigonometry against the textbook form', () => {
  const ERROR = 3e-4;

  test('random colours', () => {
    fc.assert(
      fc.property(lab32, lab32, (x, y) => {
        const textbook = deltaE2000(x, y);
        expect(Math.abs(againstOne(x, y) - textbook)).toBeLessThan(ERROR);
      }),
      { numRuns: 5000 },
    );
  });

  test('neighbours', () => {
    const small = fc.double({ min: -3, max: 3, noNaN: true });
    fc.assert(
      fc.property(lab32, small, small, small, (x, l, a, b) => {
        const y = labD50(Math.fround(x[0] + l), Math.fround(x[1] + a), Math.fround(x[2] + b));
        expect(Math.abs(againstOne(x, y) - deltaE2000(x, y))).toBeLessThan(ERROR);
      }),
      { numRuns: 2000 },
    );
  });

  test('hues opposite to within rounding, and a little to either side', () => {
    const ratio = fc.double({ min: 0.01, max: 3, noNaN: true });
    const side = fc.constantFrom(0, 1e-4, -1e-4, 1e-2, -1e-2, 1, -1);
    fc.assert(
      fc.property(lab32, ratio, side, (x, r, off) => {
        const y = labD50(x[0], Math.fround(-r * x[1] - off * x[2] * 0.01), Math.fround(-r * x[2] + off * x[1] * 0.01));
        expect(Math.abs(againstOne(x, y) - deltaE2000(x, y))).toBeLessThan(ERROR);
      }),
      { numRuns: 3000 },
    );
  });

  test('hues exactly opposite, on the step itself, both orders', () => {
    const eighth = fc.integer({ min: -1000, max: 1000 }).map((n) => n / 8);
    fc.assert(
      fc.property(eighth, eighth, fc.constantFrom(0.25, 0.5, 1, 2), (a, b, r) => {
        const [x, y] = [labD50(50, a, b), labD50(55, -r * a, -r * b)];
        expect(Math.abs(againstOne(x, y) - deltaE2000(x, y))).toBeLessThan(ERROR);
        expect(Math.abs(againstOne(y, x) - deltaE2000(x, y))).toBeLessThan(ERROR);
      }),
      { numRuns: 2000 },
    );
  });

  test('neutrals and nearly neutrals', () => {
    const tiny = fc.constantFrom(0, 1e-30, -1e-30, 1e-8, -1e-8, 1e-4, -1e-4, 0.01);
    fc.assert(
      fc.property(lab32, tiny, tiny, (x, a, b) => {
        const y = labD50(60, a, b);
        expect(Math.abs(againstOne(x, y) - deltaE2000(x, y))).toBeLessThan(ERROR);
        expect(Math.abs(againstOne(y, labD50(40, b, a)) - deltaE2000(y, labD50(40, b, a)))).toBeLessThan(ERROR);
      }),
      { numRuns: 2000 },
    );
  });

  test('mean hues either side of 0°, where eq. 16 does not wrap', () => {
    for (const hue of [-6, -1, -0.1, 0.1, 1, 4]) {
      const [c, s] = [Math.cos((hue * Math.PI) / 180), Math.sin((hue * Math.PI) / 180)];
      const x = labD50(50, Math.fround(20 * c + 20 * s), Math.fround(20 * s - 20 * c));
      const y = labD50(50, Math.fround(120 * c - 120 * s), Math.fround(120 * s + 120 * c));
      expect(Math.abs(againstOne(x, y) - deltaE2000(x, y))).toBeLessThan(1e-4);
    }
  });

  test('each colour of an array is judged by itself, and the shorter array rules', () => {
    const colours = Float32Array.from(sharma.flatMap(({ lab1 }) => [...lab1]));
    const one = new Float32Array(34);
    deltaE2000Array(colours, sharma[20].lab2, one);
    expect([...one]).toEqual(sharma.map(({ lab1 }) => againstOne(lab1, sharma[20].lab2)));
    const longer = new Float32Array(40).fill(-1);
    deltaE2000Array(colours, sharma[20].lab2, longer);
    expect(Array.from(longer.subarray(34))).toEqual([-1, -1, -1, -1, -1, -1]);
  });
});
