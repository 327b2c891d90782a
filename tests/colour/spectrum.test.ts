/** Spectra → XYZ and Lab, and the observer's tables. */
import { describe, expect, test } from 'vitest';
import { D50_POWER, OBSERVER_GRID, X_BAR, Y_BAR, Z_BAR } from '../../analysis/colour/observer.ts';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { D50, labD50, xyzToLab } from '../../analysis/colour/lab.ts';
import { reflectanceToXyz, resample } from '../../analysis/colour/spectrum.ts';
import { readVectors } from '../vectors/readVectors.ts';

/** ISO/CIE 11664-1, every 5th nm. */
const observer = readVectors('cmf_cie1931_2deg_cie1964_10deg_5nm.csv', { rows: 81, sha256: '808759acb047' });
/** CIE 15. */
const lights = readVectors('illuminant_spd_5nm.csv', { rows: 81, sha256: '8bb1f0f7233b' });
/** ASTM E308, Table 5, and CIE 15:2018. */
const whites = readVectors('cie_white_points.csv', { rows: 8, sha256: '553093423d4b' }).filter(
  (row) => row.text('observer') === '2deg',
);

test('the shipped tables are the published ones', () => {
  expect(X_BAR).toEqual(observer.map((row) => row.number('x2')));
  expect(Y_BAR).toEqual(observer.map((row) => row.number('y2')));
  expect(Z_BAR).toEqual(observer.map((row) => row.number('z2')));
  expect(D50_POWER).toEqual(lights.map((row) => row.number('D50')));
  const { firstNm, stepNm, count } = OBSERVER_GRID;
  expect(lights.map((row) => row.number('wavelength_nm'))).toEqual(
    Array.from({ length: count }, (_, i) => firstNm + stepNm * i),
  );
});

describe('white points from light × observer', () => {
  test.each(whites.map((row) => ({ name: row.text('illuminant'), row })))('$name', ({ name, row }) => {
    const sum = (curve: readonly number[]): number =>
      curve.reduce((total, v, i) => total + v * lights[i].number(name), 0);
    const Y = sum(Y_BAR);
    const [X, Z] = [(100 * sum(X_BAR)) / Y, (100 * sum(Z_BAR)) / Y];
    expect(Math.abs(X - row.number('X_sum_5nm'))).toBeLessThan(6e-5);
    expect(Math.abs(Z - row.number('Z_sum_5nm'))).toBeLessThan(6e-5);
    expect(Math.abs(X - row.number('X_cie15_2018'))).toBeLessThan(0.01);
    expect(Math.abs(Z - row.number('Z_cie15_2018'))).toBeLessThan(0.01);
    expect(Math.abs(X - row.number('X_astm_e308'))).toBeLessThan(0.01);
    expect(Math.abs(Z - row.number('Z_astm_e308'))).toBeLessThan(0.01);
  });

  test('the white of lab.ts is ASTM E308’s D50', () => {
    const [row] = whites.filter((white) => white.text('illuminant') === 'D50');
    expect(D50).toEqual(row.numbers('X_astm_e308', 'Y_astm_e308', 'Z_astm_e308').map((v) => v / 100));
    expect(reflectanceToXyz({ firstNm: 380, stepNm: 400, values: [1, 1] })).toEqual([...D50]);
  });
});

/** N. Ohta (1997), The Basis of Color Reproduction Engineering; equal to ISO 17321-1:2012. */
const spectra = readVectors('chart24_reflectance_ohta1997_5nm.csv', { rows: 81, sha256: '72adc2a2d105' });
const [, ...patches] = spectra[0].columns;
const chart = readVectors('chart24_ohta_computed_xyz_lab.csv', { rows: 24, sha256: 'a83c342b112f' }).map((row, i) => ({
  name: row.text('name'),
  values: spectra.map((spectrum) => spectrum.number(patches[i])),
  lab: labD50(...row.numbers('L_D50', 'a_D50', 'b_D50')),
}));

describe('the 24 spectra of Ohta 1997', () => {
  test.each(chart)('$name', ({ values, lab }) => {
    const ours = xyzToLab(reflectanceToXyz({ firstNm: 380, stepNm: 5, values }));
    ours.forEach((v, i) => expect(Math.abs(v - lab[i])).toBeLessThan(6e-5)); // four decimals
  });

  test('read at every second value, 10 nm, they give the same colours to 0.1 ΔE00', () => {
    for (const { values, lab } of chart) {
      const coarse = values.filter((_, i) => i % 2 === 0);
      expect(deltaE2000(xyzToLab(reflectanceToXyz({ firstNm: 380, stepNm: 10, values: coarse })), lab)).toBeLessThan(
        0.1,
      );
    }
  });

  test('cut to 400–700 nm, as most instruments give them, the held ends cost less than 0.3 ΔE00', () => {
    for (const { values, lab } of chart) {
      const cut = values.slice(4, 65);
      expect(deltaE2000(xyzToLab(reflectanceToXyz({ firstNm: 400, stepNm: 5, values: cut })), lab)).toBeLessThan(0.08);
    }
  });
});

function cubic(nm: number): number {
  return 0.5 + ((nm - 550) / 400) ** 3;
}

describe('resampling', () => {
  const values = [400, 420, 440, 460, 480, 500].map(cubic);

  test('a cubic is kept exactly inside, and samples are themselves', () => {
    const between = [425, 430, 451.5, 475];
    resample({ firstNm: 400, stepNm: 20, values }, between).forEach((v, i) =>
      expect(v).toBeCloseTo(cubic(between[i]), 12),
    );
    expect(resample({ firstNm: 400, stepNm: 20, values }, [400, 440, 500])).toEqual([values[0], values[2], values[5]]);
  });

  test('beyond the ends the last value is held', () => {
    expect(resample({ firstNm: 400, stepNm: 20, values }, [380, 399, 501, 780])).toEqual([
      values[0],
      values[0],
      values[5],
      values[5],
    ]);
  });

  test('two samples are joined by a line, one is a flat spectrum', () => {
    expect(resample({ firstNm: 400, stepNm: 100, values: [0, 1] }, [425])[0]).toBeCloseTo(0.25, 12);
    expect(resample({ firstNm: 500, stepNm: 10, values: [0.3] }, [380, 500, 600])).toEqual([0.3, 0.3, 0.3]);
  });
});
