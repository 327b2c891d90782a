/** ISCC–NBS names by block, and the Munsell renotation under them. */
import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { NAMES, WEDGES } from '../../analysis/colour/isccNbsBlocks.ts';
import { D50, labD50, xyzToLab } from '../../analysis/colour/lab.ts';
import { ILLUMINANT_C, munsellValue, xyzToMunsell } from '../../analysis/colour/munsell.ts';
import { RENOTATION } from '../../analysis/colour/munsellRenotation.ts';
import { blockName, hueNumber, isccNbsName, isccNbsNames } from '../../analysis/colour/name.ts';
import type { Xyz } from '../../analysis/colour/lab.ts';
import { readVectors } from '../vectors/readVectors.ts';

fc.configureGlobal({ seed: 2003 });

/** Newhall, Nickerson & Judd (1943), JOSA 33, 385: xyY under C, Y on the scale of magnesium oxide. */
const renotation = readVectors('munsell_renotation_1943_real.csv', { rows: 2734, sha256: '1869c6f2df8f' }).map(
  (row) => ({
    hue: row.text('hue'),
    value: row.number('value'),
    chroma: row.number('chroma'),
    x: row.number('x_C'),
    y: row.number('y_C'),
    Y: (0.975 * row.number('Y_C_MgO102.57')) / 100,
  }),
);
/** Kelly & Judd (1976), NBS SP 440, pp 16–31. */
const blocks = readVectors('iscc_nbs_blocks.csv', { rows: 932, sha256: '5cd4a64a4c10' });
/** Kelly (1958), J. Res. NBS 61, 427–431: centroids; names from NBS SP 440. Another publication than the blocks. */
const centroids = readVectors('iscc_nbs_267_centroids.csv', { rows: 267, sha256: '433edd0c1a2a' }).map((row) => ({
  number: row.number('number'),
  name: row.text('name').toLowerCase(),
  notation: row.text('munsell_centroid'),
  lab: labD50(...row.numbers('L_D50', 'a_D50', 'b_D50')),
}));
/** McCamy, Marcus & Davidson (1976), J. Appl. Photogr. Eng. 2(3), 95–99; names from memory, see `ALSO`. */
const chart = readVectors('chart24_munsell_iscc.csv', { rows: 24, sha256: '75546988e18c' }).map((row) => ({
  patch: row.number('patch'),
  name: row.text('iscc_nbs_name_1976_from_memory'),
  x: row.number('x_C_1976'),
  y: row.number('y_C_1976'),
  Y: (0.975 * row.number('Y_C_1976')) / 100, // the publication's Y is on the 1943 scale
}));

function xyY(x: number, y: number, Y: number): Xyz {
  return [(x / y) * Y, Y, ((1 - x - y) / y) * Y];
}

describe('the shipped tables are the published ones', () => {
  test('renotation', () => {
    const lines = new Map<string, string[]>();
    for (const { hue, value, chroma, x, y } of renotation) {
      const key = `${value} ${hueNumber(hue)}`;
      const line = lines.get(key) ?? [];
      line[chroma / 2 - 1] = `${Math.round(x * 10000)} ${Math.round(y * 10000)}`;
      lines.set(key, line);
    }
    expect(lines.size).toBe(RENOTATION.length);
    RENOTATION.forEach((line, i) => {
      expect(line).toBe(lines.get(`${Math.floor(i / 40) + 1} ${(i % 40) * 2.5}`)?.join(' '));
    });
  });

  test('names and boxes', () => {
    expect(NAMES).toEqual(centroids.map(({ name }) => name));
    const shipped = WEDGES.flatMap(([from, boxes], i) =>
      boxes.split('; ').map((box) => `${from} ${WEDGES[(i + 1) % WEDGES.length][0]} ${box}`),
    );
    const published = blocks.map((row) =>
      ['hue_begin', 'hue_end', 'value_min', 'value_max', 'chroma_min', 'chroma_max', 'number']
        .map((column) => row.text(column) || '-')
        .join(' '),
    );
    expect(shipped).toEqual(published);
    expect(blocks.every((row) => NAMES[row.number('number') - 1] === row.text('name').toLowerCase())).toBe(true);
  });
});

describe('Munsell', () => {
  test('every colour of the renotation comes back', () => {
    for (const { hue, value, chroma, x, y, Y } of renotation) {
      const found = xyzToMunsell(xyY(x, y, Y));
      const hueGap = Math.abs(((found.hue - hueNumber(hue) + 150) % 100) - 50);
      expect(hueGap * chroma).toBeLessThan(0.02); // x, y carry four decimals
      expect(Math.abs(found.chroma - chroma)).toBeLessThan(0.01);
      expect(Math.abs(found.value - value)).toBeLessThan(0.001);
    }
  });

  test('value runs from 0 for black to 10 for the perfect diffuser', () => {
    expect(munsellValue(0)).toBeCloseTo(0, 9);
    expect(munsellValue(1)).toBeCloseTo(10, 3);
    expect(munsellValue(-0.1)).toBeCloseTo(0, 9);
    expect(munsellValue(1.2)).toBeCloseTo(10, 9);
  });

  test('hues lie between their neighbours', () => {
    const between = renotation.filter(({ hue, chroma }) => hue === '5PB' && chroma === 4);
    for (const { x, y, Y, value } of between) {
      const beside = renotation.find((c) => c.hue === '7.5PB' && c.chroma === 4 && c.value === value);
      expect(beside).toBeDefined();
      const found = xyzToMunsell(xyY((x + beside!.x) / 2, (y + beside!.y) / 2, Y));
      expect(found.hue).toBeGreaterThan(75.5);
      expect(found.hue).toBeLessThan(77);
      expect(Math.abs(found.chroma - 4)).toBeLessThan(0.03);
    }
  });

  test('a grey has no chroma', () => {
    for (const Y of [0.001, 0.02, 0.2, 0.9, 1]) {
      const grey: Xyz = [Y * ILLUMINANT_C[0], Y, Y * ILLUMINANT_C[2]];
      expect(xyzToMunsell(grey).chroma).toBeLessThan(1e-6);
    }
  });
});

describe('names', () => {
  test.each(centroids)('centroid $number $notation is $name', ({ lab, name }) => {
    expect(isccNbsName(lab)).toBe(name);
  });

  /**
   * Where a block may differ from the 1976 name: 3YR 3.7/3.2 lies on a border of hue, N6.5 on one of value, so that either side is
   * right; "light medium gray" is no name of the third level.
   */
  const ALSO: Record<number, string[]> = { 1: ['moderate reddish brown'], 21: ['light gray', 'medium gray'] };
  test.each(chart)('chart patch $patch is $name', ({ patch, name, x, y, Y }) => {
    expect([name, ...(ALSO[patch] ?? [])]).toContain(blockName(xyzToMunsell(xyY(x, y, Y))));
  });

  test('any Lab has a name, however far out', () => {
    const wild = fc.double({ min: -300, max: 300, noNaN: true });
    fc.assert(
      fc.property(fc.double({ min: -50, max: 150, noNaN: true }), wild, wild, (L, a, b) => {
        expect(NAMES).toContain(isccNbsName(labD50(L, a, b)));
      }),
      { numRuns: 2000 },
    );
    expect(isccNbsName(labD50(0, 0, 0))).toBe('black');
    expect(isccNbsName(labD50(100, 0, 0))).toBe('white');
    expect(isccNbsName(labD50(0, 5, -5))).toBe('black');
  });

  test('near a border both names are given, own name first; away from it one', () => {
    const darkSide = xyzToLab([0.146 * D50[0], 0.146, 0.146 * D50[2]]); // value 4.45; dark and medium gray meet at 4.5
    expect(isccNbsNames(darkSide, [1, 0.2, 0.2])).toEqual(['dark gray', 'medium gray']);
    expect(isccNbsNames(darkSide, [0.1, 0.1, 0.1])).toEqual(['dark gray']);
    const moderateBlue = centroids[181].lab;
    expect(isccNbsNames(moderateBlue, [0.5, 0.5, 0.5])).toEqual(['moderate blue']);
    expect(isccNbsNames(moderateBlue, [12, 12, 12]).length).toBeGreaterThan(2);
  });
});
