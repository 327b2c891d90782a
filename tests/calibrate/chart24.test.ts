/**
 * The 24-patch chart through a real camera's sensitivities, against its published colours.
 * Reflectances: N. Ohta 1997, The Basis of Color Reproduction Engineering. Published Lab (D50, 2°): the maker's average, charts before November 2014.
 * Sensitivities: Darrodi, Finlayson, Goodman & Mackiewicz 2015, JOSA A 32(3), 381. D50: CIE 15.
 */
import { describe, expect, it } from 'vitest';
import { fitCalibration } from '../../analysis/calibrate/fit.ts';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { labD50, xyzToLab, type LabD50 } from '../../analysis/colour/lab.ts';
import { reflectanceToXyz } from '../../analysis/colour/spectrum.ts';
import { srgbEncode } from '../../analysis/colour/srgb.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import { drawScanner, signalOf } from '../../study/simulatedScanner.ts';
import { readVectors, type VectorRow } from '../vectors/readVectors.ts';
import { readingOf } from './madeUpTarget.ts';

const reflectances = readVectors('chart24_reflectance_ohta1997_5nm.csv', { rows: 81, sha256: '72adc2a2d105' });
const published = readVectors('chart24_published.csv', { rows: 24, sha256: '064afe6353df' });
const sensor = readVectors('rgb_sensitivity_npl2015_5nm.csv', { rows: 81, sha256: '0dc528948449' });
const light = readVectors('illuminant_spd_5nm.csv', { rows: 81, sha256: '8bb1f0f7233b' });
const names = reflectances[0].columns.filter((name) => name !== 'wavelength_nm');

const column = (table: readonly VectorRow[], name: string): number[] => table.map((row) => row.number(name));

const reflectanceOf = (name: string) => ({ firstNm: 380, stepNm: 5, values: column(reflectances, name) });

function deviceOf(name: string): readonly [number, number, number] {
  const power = column(light, 'D50');
  const r = column(reflectances, name);
  const [R, G, B] = ['R', 'G', 'B'].map((channel) => {
    const s = column(sensor, channel).map((v, i) => v * power[i]);
    const white = s.reduce((sum, v) => sum + v, 0);
    return srgbEncode((0.95 * s.reduce((sum, v, i) => sum + v * r[i], 0)) / white);
  });
  return [R, G, B];
}

const readings = names.map((name) => readingOf(name, Number(name.slice(0, 2)) >= 19, deviceOf(name)));
const computed = new Map(
  names.map((name): [string, LabD50] => [name, xyzToLab(reflectanceToXyz(reflectanceOf(name)))]),
);
const printed = new Map(
  published.map((row, i): [string, LabD50] => [
    names[i],
    labD50(...row.numbers('L_D50_pre2014', 'a_D50_pre2014', 'b_D50_pre2014')),
  ]),
);
const referenceOf = (labs: ReadonlyMap<string, LabD50>) => ({
  patches: new Map([...labs].map(([id, lab]) => [id, { lab }])),
});

describe('the 24-patch chart before a measured camera', () => {
  it('colours computed from the spectra come back as well as from a good camera', () => {
    const c = fitCalibration(readings, referenceOf(computed));
    const fitted = c.patches.reduce((sum, patch) => sum + patch.dE00Fitted, 0) / 24;
    expect(fitted).toBeLessThan(0.9);
    expect(c.leftOutMedian!).toBeLessThan(1);
    expect(c.judgement).toBe('good');
    // Its greys are flat enough that white and greys stay neutral.
    expect(c.greyMaxChroma!).toBeLessThan(0.1);
  });

  it('agrees with the published colours within what its batch differs from them', () => {
    const batch = names.reduce((sum, id) => sum + deltaE2000(computed.get(id)!, printed.get(id)!), 0) / 24;
    const c = fitCalibration(readings, referenceOf(printed));
    const error = c.patches.reduce((sum, patch) => sum + deltaE2000(patch.fitted, patch.reference), 0) / 24;
    expect(batch).toBeGreaterThan(0.8); // 0.97 by the table's own check
    expect(error).toBeLessThan(batch + 0.5);
    expect(c.leftOutMedian!).toBeLessThan(2);
  });

  it('two patches taken for each other show', () => {
    const swapped = new Map(computed);
    swapped.set('14_green', computed.get('15_red')!);
    swapped.set('15_red', computed.get('14_green')!);
    const c = fitCalibration(readings, referenceOf(swapped));
    expect(c.patches.filter((patch) => patch.flags.includes('covered')).map((patch) => patch.id)).toEqual([
      '14_green',
      '15_red',
    ]);
    expect(c.cautions[0].words).toMatch(/14_green, 15_red.* or their values in the reference are wrong/);
    expect(c.judgement).toBe('usable');
  });
});

/** Scanners of study/simulatedScanner.ts: lamps, filters and matrices that nobody built, on seeds that nothing was tuned on. */
describe('the 24-patch chart before simulated scanners', () => {
  const spectra = names.map((name) => column(reflectances, name).filter((_, k) => k % 2 === 0 && k <= 70));
  const calibrations = Array.from({ length: 24 }, (_, i) => {
    const scanner = drawScanner(seededRandom(7001 + i));
    const scanned = names.map((name, n) =>
      readingOf(name, Number(name.slice(0, 2)) >= 19, scanner.encode(signalOf(scanner, spectra[n]))),
    );
    return [computed, printed].map((labs) => fitCalibration(scanned, referenceOf(labs)));
  });
  const medianOf = (values: readonly number[]) => values.toSorted((a, b) => a - b)[values.length >> 1];

  it('left-out median about 1.2 ΔE00 with its spectra’s colours, under 2 for nine scanners of ten, no false alarm', () => {
    const medians = calibrations.map(([c]) => c.leftOutMedian!);
    expect(medianOf(medians)).toBeLessThan(1.4);
    expect(medianOf(medians)).toBeGreaterThan(0.7); // a scanner is no observer
    expect(medians.filter((value) => value < 2).length).toBeGreaterThanOrEqual(22);
    expect(calibrations.flatMap(([c]) => c.cautions)).toEqual([]);
  });

  it('with the published colours of another batch its error grows by no more than the batches differ', () => {
    const batch = medianOf(names.map((id) => deltaE2000(computed.get(id)!, printed.get(id)!)));
    const [own, published24] = [0, 1].map((k) => medianOf(calibrations.map((c) => c[k].leftOutMedian!)));
    expect(published24).toBeGreaterThan(own);
    expect(published24).toBeLessThan(own + batch);
  });
});
