import { describe, expect, it } from 'vitest';
import { colorantsOf, restOfSpectra } from '../../analysis/calibrate/colorants.ts';
import { labD50 } from '../../analysis/colour/lab.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import { drawCard } from '../../sample-scans/generator/card.ts';
import { drawTarget, TARGET_SIZES, type TargetKind } from '../../study/simulatedColours.ts';
import { readVectors } from '../vectors/readVectors.ts';

const spectraOf = (kind: TargetKind, seed: number) =>
  drawTarget(kind, TARGET_SIZES.card, seededRandom(seed * 71 + 9)).map(({ id, reflectance }) => ({
    id,
    reflectance: { firstNm: 380, stepNm: 10, values: [...reflectance] },
  }));

const referenceOf = (
  patches: readonly { id: string; reflectance: ReturnType<typeof spectraOf>[0]['reflectance'] }[],
) => ({
  patches: new Map(patches.map(({ id, reflectance }) => [id, { lab: labD50(50, 0, 0), reflectance }])),
});

/** Seeds that the limit was not chosen on. */
const seeds = Array.from({ length: 20 }, (_, i) => 501 + i);

describe('what a target is printed with', () => {
  it('is told by spectra: three dyes in tone or in dots, five pigments and a black', () => {
    const told = (kind: TargetKind, want: string) =>
      seeds.filter((seed) => {
        const patches = spectraOf(kind, seed);
        return (
          colorantsOf(
            referenceOf(patches),
            patches.map(({ id }) => id),
            null,
          ).kind === want
        );
      }).length;
    expect(told('dots', 'few-dyes')).toBe(20);
    expect(told('photographic', 'few-dyes')).toBeGreaterThanOrEqual(18);
    expect(told('colorants', 'varied')).toBeGreaterThanOrEqual(19);
  });

  it('the sample’s card and the published 24-patch chart are of varied pigments', () => {
    const values = drawCard(9).patches.map((r) => ({ firstNm: 380, stepNm: 10, values: [...r] }));
    expect(restOfSpectra(values)).toBeGreaterThan(0.004);
    const table = readVectors('chart24_reflectance_ohta1997_5nm.csv', { rows: 81, sha256: '72adc2a2d105' });
    const names = table[0].columns.filter((name) => name !== 'wavelength_nm');
    const patches = names.map((id) => ({
      id,
      reflectance: { firstNm: 380, stepNm: 5, values: table.map((row) => row.number(id)) },
    }));
    expect(colorantsOf(referenceOf(patches), names, null)).toEqual({ kind: 'varied', by: 'spectra' });
  });

  it('without spectra the greys say so when they are mixed, and nothing otherwise: a black beside three dyes is flat too', () => {
    const reference = { patches: new Map([['G1', { lab: labD50(50, 0, 0) }]]) };
    expect(colorantsOf(reference, ['G1'], true)).toEqual({ kind: 'few-dyes', by: 'greys' });
    expect(colorantsOf(reference, ['G1'], false)).toEqual({ kind: 'cannot-tell', by: 'nothing' });
    expect(colorantsOf(reference, ['G1'], null)).toEqual({ kind: 'cannot-tell', by: 'nothing' });
  });

  it('spectra of some patches only, or on unlike grids, are not asked', () => {
    const patches = spectraOf('dots', 1);
    const ids = patches.map(({ id }) => id);
    const { patches: map } = referenceOf(patches);
    map.set(ids[0], { ...map.get(ids[0])!, reflectance: { firstNm: 400, stepNm: 10, values: Array(30).fill(0.5) } });
    expect(colorantsOf({ patches: map }, ids, null).by).toBe('nothing');
    const some = new Map([...referenceOf(patches).patches].slice(1));
    expect(colorantsOf({ patches: some }, ids, null).by).toBe('nothing');
  });
});
