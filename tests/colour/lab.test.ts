/** XYZ ↔ Lab, scalar and over arrays. */
import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  chroma,
  D50,
  D65,
  hueDeg,
  hueDifferenceDeg,
  LAB_EPSILON,
  labD50,
  labToXyz,
  xyzToLab,
  xyzToLabWhite,
} from '../../analysis/colour/lab.ts';
import { xyzToLabArray } from '../../analysis/colour/labArrays.ts';
import type { Xyz } from '../../analysis/colour/lab.ts';
import { readVectors } from '../vectors/readVectors.ts';

fc.configureGlobal({ seed: 2001 });

const WHITES: Record<string, Xyz> = {
  D65_2deg_E308: D65,
  D50_2deg_E308: D50,
  D50_ICC_PCS: [0.9642, 1, 0.8249],
};
/** Computed from CIE 15:2018 and, independently, by the Colour library for Python: three whites, both sides of the knee. */
const checks = readVectors('xyz_to_lab_check.csv', { rows: 24, sha256: '7873f836637c' }).map((row) => {
  const [X, Y, Z] = row.numbers('X', 'Y', 'Z');
  const xyz: Xyz = [X / 100, Y / 100, Z / 100];
  return { white: row.text('white'), xyz, lab: row.numbers('L', 'a', 'b') };
});

function viaArray(xyz: Xyz): number[] {
  const out = new Float32Array(3);
  xyzToLabArray(Float32Array.from(xyz), out);
  return [...out];
}

function largestGap(a: readonly number[], b: readonly number[]): number {
  return Math.max(...a.map((v, i) => Math.abs(v - b[i])));
}

describe('XYZ → Lab', () => {
  test.each(checks)('$white $xyz', ({ white, xyz, lab }) => {
    expect(largestGap(xyzToLabWhite(xyz, WHITES[white]), lab)).toBeLessThan(1e-6); // the table has 6 decimals
    if (WHITES[white] !== D50) return;
    expect(largestGap(xyzToLab(xyz), lab)).toBeLessThan(1e-6);
    expect(largestGap(viaArray(xyz), lab)).toBeLessThan(3e-4);
  });

  test('there and back', () => {
    const component = fc.double({ min: -0.1, max: 1.5, noNaN: true });
    fc.assert(
      fc.property(component, component, component, (X, Y, Z) => {
        expect(largestGap(labToXyz(xyzToLab([X, Y, Z])), [X, Y, Z])).toBeLessThan(1e-12);
      }),
    );
  });

  test('both branches of f meet at the knee', () => {
    for (const side of [1 + 1e-12, 1 - 1e-12]) expect(xyzToLab([0, LAB_EPSILON * side, 0])[0]).toBeCloseTo(8, 9);
  });
});

describe('XYZ → Lab over arrays', () => {
  test('within 0.0003 of the scalar form, also above white and below black', () => {
    const component = fc.oneof(
      fc.double({ min: 0, max: 0.02, noNaN: true }),
      fc.double({ min: 0, max: 1.2, noNaN: true }),
      fc.double({ min: -0.5, max: 4, noNaN: true }),
    );
    fc.assert(
      fc.property(component, component, component, (X, Y, Z) => {
        const xyz: Xyz = [Math.fround(X), Math.fround(Y), Math.fround(Z)];
        expect(largestGap(viaArray(xyz), xyzToLab(xyz))).toBeLessThan(3e-4);
      }),
      { numRuns: 5000 },
    );
  });

  test('also where the curve bends most', () => {
    for (let Y = 0.008; Y < 0.02; Y += 0.000003) {
      const xyz: Xyz = [0.01, Math.fround(Y), 0.01];
      expect(Math.abs(viaArray(xyz)[1] - xyzToLab(xyz)[1])).toBeLessThan(3e-4);
    }
  });

  test('may write over its input', () => {
    const xyz = Float32Array.from([0.3, 0.2, 0.1, 0.5, 0.6, 0.7]);
    const apart = new Float32Array(6);
    xyzToLabArray(xyz, apart);
    xyzToLabArray(xyz, xyz);
    expect(xyz).toEqual(apart);
    expect(largestGap([...apart.subarray(3)], xyzToLab([0.5, 0.6, 0.7]))).toBeLessThan(1e-3);
  });
});

describe('chroma and hue', () => {
  test('hue runs from 0 to 360 counter-clockwise from +a*', () => {
    expect([labD50(50, 1, 0), labD50(50, 0, 1), labD50(50, -1, 0), labD50(50, 0, -1)].map(hueDeg)).toEqual([
      0, 90, 180, 270,
    ]);
    expect(hueDeg(labD50(50, 0, 0))).toBe(0);
    expect(chroma(labD50(50, 3, -4))).toBe(5);
  });

  test('a hue difference takes the shorter way, with its sign', () => {
    expect(hueDifferenceDeg(350, 10)).toBe(20);
    expect(hueDifferenceDeg(10, 350)).toBe(-20);
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 359 }), fc.integer({ min: -179, max: 179 }), (from, turn) => {
        expect(hueDifferenceDeg(from, (from + turn + 360) % 360)).toBe(turn);
      }),
    );
  });
});
