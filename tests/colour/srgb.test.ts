/** sRGB and Bradford against Little CMS, IEC 61966-2-1 and ICC.1. */
import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { bradford, bradfordMatrix } from '../../analysis/colour/adapt.ts';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { D50, D65, labD50, labToXyz, xyzToLab, xyzToLabWhite } from '../../analysis/colour/lab.ts';
import { srgbDecode, srgbEncode, srgbToXyzD50, xyzD50ToSrgb8 } from '../../analysis/colour/srgb.ts';
import { xyzToSrgb8Array } from '../../analysis/colour/srgbArrays.ts';
import type { Xyz } from '../../analysis/colour/lab.ts';
import constants from '../vectors/colour_constants.json' with { type: 'json' };
import { readVectors } from '../vectors/readVectors.ts';

fc.configureGlobal({ seed: 2002 });

const ICC_WHITE: Xyz = [0.9642, 1, 0.8249];

function largestGap(a: readonly number[], b: readonly number[]): number {
  return Math.max(...a.map((v, i) => Math.abs(v - b[i])));
}

const codes = readVectors('srgb_check_values.csv', { rows: 20, sha256: '2eb262a20ea5' }).map((row) => ({
  rgb: row.numbers('R8', 'G8', 'B8'),
  /** Little CMS 2.14, transicc, relative intent: Lab under the ICC's own D50, four decimals. */
  lcms: row.numbers('L_D50_lcms', 'a_D50_lcms', 'b_D50_lcms'),
}));

describe('sRGB codes against Little CMS', () => {
  test.each(codes)('$rgb', ({ rgb: [r, g, b], lcms }) => {
    const xyz = srgbToXyzD50(r / 255, g / 255, b / 255);
    // Little CMS works on the profile connection space's white, 0.9642 1 0.8249, rounded from ours.
    expect(largestGap(xyzToLabWhite(bradford(xyz, D50, ICC_WHITE), ICC_WHITE), lcms)).toBeLessThan(2e-4);
    expect(deltaE2000(xyzToLab(xyz), labD50(...lcms))).toBeLessThan(0.01); // what the last digits of the white are worth
    expect(xyzD50ToSrgb8(xyz)).toEqual({ rgb: [r, g, b], inGamut: true });
  });
});

describe('transfer curve', () => {
  test('all 256 codes of IEC 61966-2-1', () => {
    for (const row of readVectors('srgb_transfer_8bit.csv', { rows: 256, sha256: 'f54ae70df8a0' })) {
      expect(Math.abs(srgbDecode(row.number('code8') / 255) - row.number('linear'))).toBeLessThan(1e-10);
    }
  });

  test('the points of the standard, there and back', () => {
    for (const { encoded, linear } of constants.srgb.transfer_check) {
      expect(srgbDecode(encoded)).toBeCloseTo(linear, 12);
      expect(srgbEncode(linear)).toBeCloseTo(encoded, 6); // the standard's two thresholds differ by 4e-8
    }
  });
});

describe('Bradford', () => {
  test('D65 to D50 is the published matrix and its examples', () => {
    expect(largestGap(bradfordMatrix(D65, D50).flat(), constants.cat_D65_to_D50_E308_whites.flat())).toBeLessThan(
      1e-12,
    );
    expect(largestGap(bradfordMatrix(D50, D65).flat(), constants.cat_D50_to_D65_E308_whites.flat())).toBeLessThan(
      1e-12,
    );
    for (const { xyz_D65: from, xyz_D50_E308: to } of constants.adapted_examples) {
      expect(largestGap(bradford([from[0], from[1], from[2]], D65, D50), to)).toBeLessThan(1e-12);
    }
  });

  test('one white becomes the other, and the way back undoes it', () => {
    const part = fc.double({ min: 0.5, max: 1.5, noNaN: true });
    fc.assert(
      fc.property(part, part, part, part, part, part, part, (x1, z1, x2, z2, X, Y, Z) => {
        const [from, to]: Xyz[] = [
          [x1, 1, z1],
          [x2, 1, z2],
        ];
        expect(largestGap(bradford(from, from, to), to)).toBeLessThan(1e-12);
        expect(largestGap(bradford(bradford([X, Y, Z], from, to), to, from), [X, Y, Z])).toBeLessThan(1e-12);
        expect(largestGap(bradford([X, Y, Z], from, from), [X, Y, Z])).toBeLessThan(1e-12);
      }),
    );
  });
});

describe('for display', () => {
  test('a colour that sRGB cannot show is clipped and says so', () => {
    const { rgb, inGamut } = xyzD50ToSrgb8(labToXyz(labD50(55, -80, -10)));
    expect(inGamut).toBe(false);
    expect(rgb[0]).toBe(0);
    expect(xyzD50ToSrgb8([2, 2, 2])).toEqual({ rgb: [255, 255, 255], inGamut: false });
  });

  test('a neutral under D50 is a neutral on the screen', () => {
    const { rgb } = xyzD50ToSrgb8([0.2 * D50[0], 0.2, 0.2 * D50[2]]);
    expect(new Set(rgb).size).toBe(1);
  });

  test('arrays give the same codes as single colours', () => {
    const component = fc.oneof(
      fc.double({ min: -0.1, max: 1.2, noNaN: true }),
      fc.double({ min: 0, max: 0.01, noNaN: true }),
    );
    const xyz32 = fc
      .tuple(component, component, component)
      .map((v): Xyz => [Math.fround(v[0]), Math.fround(v[1]), Math.fround(v[2])]);
    fc.assert(
      fc.property(fc.array(xyz32, { minLength: 1, maxLength: 20 }), (colours) => {
        const out = new Uint8Array(3 * colours.length);
        xyzToSrgb8Array(Float32Array.from(colours.flat()), out);
        expect([...out]).toEqual(colours.flatMap((xyz) => xyzD50ToSrgb8(xyz).rgb));
      }),
      { numRuns: 500 },
    );
  });
});
