import { describe, expect, it } from 'vitest';
import { fitOwnCurves, fitSharedCurve, type PatchSample } from '../../analysis/calibrate/channelCurves.ts';
import { fitCalibration } from '../../analysis/calibrate/fit.ts';
import { areFlatSpectra, areMixedGreys } from '../../analysis/calibrate/mixedGreys.ts';
import { labD50, labToXyz, xyzToLab } from '../../analysis/colour/lab.ts';
import { normal, seededRandom } from '../../analysis/seededRandom.ts';
import { drawTarget, TARGET_SIZES, type TargetKind } from '../../study/simulatedColours.ts';
import { drawScanner, signalOf } from '../../study/simulatedScanner.ts';
import { xyzOf } from '../../study/spectra.ts';

/** A drawn scanner before a drawn target; `noise` in L*, a*, b* of the reference. */
function greysOf(kind: TargetKind, seed: number, noise = 0) {
  const random = seededRandom(seed * 7919);
  const scanner = drawScanner(random);
  const target = drawTarget(kind, TARGET_SIZES.large, random);
  const samples = target.map(({ id, grey, reflectance }): PatchSample => {
    const [L, a, b] = xyzToLab(xyzOf(reflectance)).map((v) => v + noise * normal(random));
    const xyz = labToXyz(labD50(L, a, b));
    return { id, grey, device: scanner.encode(signalOf(scanner, reflectance)), light: [1, 1, 1], xyz };
  });
  return { samples, greys: samples.filter((sample) => sample.grey), target };
}

function mixed(kind: TargetKind, seed: number, noise = 0): boolean {
  const { samples, greys } = greysOf(kind, seed, noise);
  const exponents = fitOwnCurves(samples).curves.map((curve) => curve.exponent);
  const exponent = (exponents[0] + exponents[1] + exponents[2]) / 3;
  return areMixedGreys(
    greys.map((grey) => grey.device),
    greys.map((grey) => grey.xyz),
    exponent,
  );
}

const seeds = Array.from({ length: 20 }, (_, i) => i + 1);

describe('greys mixed from dyes', () => {
  it('are told from flat ones by a scanner’s own values where they part by enough: about half of three-dye targets, no flat one', () => {
    expect(seeds.filter((seed) => mixed('colorants', seed)).length).toBe(0);
    expect(seeds.filter((seed) => mixed('colorants', seed, 0.3)).length).toBeLessThanOrEqual(1);
    expect(seeds.filter((seed) => mixed('dots', seed)).length).toBeGreaterThanOrEqual(10);
    expect(seeds.filter((seed) => mixed('photographic', seed)).length).toBeGreaterThanOrEqual(8);
  });

  it('are told for certain by their spectra', () => {
    const spectra = (kind: TargetKind, seed: number) =>
      greysOf(kind, seed)
        .target.filter((patch) => patch.grey)
        .map(({ reflectance }) => ({ firstNm: 380, stepNm: 10, values: [...reflectance] }));
    for (const seed of seeds) {
      expect(areFlatSpectra(spectra('colorants', seed))).toBe(true);
      expect(areFlatSpectra(spectra('photographic', seed))).toBe(false);
      expect(areFlatSpectra(spectra('dots', seed))).toBe(false);
    }
  });

  it('too few of them say nothing', () => {
    const { greys } = greysOf('photographic', 3);
    const few = greys.slice(0, 7);
    expect(
      areMixedGreys(
        few.map((grey) => grey.device),
        few.map((grey) => grey.xyz),
        2,
      ),
    ).toBe(false);
  });

  it('share one curve, whoever says that they are mixed', () => {
    const { samples, target } = greysOf('photographic', 5);
    const readings = samples.map(({ id, grey, device }) => ({
      id,
      grey,
      device,
      sd: [0, 0, 0] as const,
      pixels: 900,
      clippedShare: 0,
      centreMm: [0, 0] as const,
    }));
    const patches = new Map(
      target.map(({ id, reflectance }) => [
        id,
        { lab: xyzToLab(xyzOf(reflectance)), reflectance: { firstNm: 380, stepNm: 10, values: [...reflectance] } },
      ]),
    );
    const c = fitCalibration(readings, { patches });
    expect(c.curves[1]).toEqual(c.curves[0]);
    expect(c.curves[0]).toEqual(fitSharedCurve(samples).curves[0]);
    const own = fitOwnCurves(samples).curves;
    expect(own[1]).not.toEqual(own[0]);
  });
});
