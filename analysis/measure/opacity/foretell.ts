/** A pen's ink on a ground where it was not seen, by the fitted film: colour and what it may be off by. */
import { type LabD50, type Xyz, xyzToLab } from '../../colour/lab.ts';
import { XYZ_WEIGHTS } from '../../film/grid.ts';
import { layerReflectance } from '../../film/layer.ts';
import type { LabValue } from '../../quantity.ts';
import { triple } from '../../triple.ts';
import { doseSpread } from './doseSpread.ts';
import type { Ground } from './groundOfLab.ts';
import type { InkLayer, LayerCurves, LayerSample } from './inkLayer.ts';

export interface Foretold {
  readonly lab: LabD50;
  readonly xyz: Xyz;
  /** Standard uncertainty per component. */
  readonly u: LabValue;
}

/** What is left even where fit, dose and ground are known: the fit's own least u (analysis/film/filmColour.ts). */
const LEAST = 0.15;

/** @param regions of one pen, samples of this layer; others are passed over. Null: none of them is. */
export function foretell(layer: InkLayer, regions: readonly string[], ground: Ground): Foretold | null {
  const samples = layer.samples.filter(({ region }) => regions.includes(region));
  if (samples.length === 0) return null;
  const on = (curves: LayerCurves, doseFactor: number, reflectance: readonly number[]): Xyz =>
    mixed(samples, curves, doseFactor, reflectance);
  const xyz = on(layer, 1, ground.reflectance);
  const lab = xyzToLab(xyz);
  const spread = doseSpread(samples);
  const moved = [
    ...layer.doubts.map((one) => xyzToLab(on(one, one.doseFactor, ground.reflectance))),
    xyzToLab(on(layer, Math.exp(spread), ground.reflectance)),
    ...ground.doubts.map((reflectance) => xyzToLab(on(layer, 1, reflectance))),
  ];
  const u = triple((c) => Math.hypot(LEAST, ...moved.map((one) => one[c] - lab[c])));
  return { lab, xyz, u };
}

/** Light of all doses of all samples, each sample as much as another. */
export function mixed(
  samples: readonly LayerSample[],
  { k, s }: LayerCurves,
  doseFactor: number,
  ground: readonly number[],
): Xyz {
  const xyz: [number, number, number] = [0, 0, 0];
  for (const { bins } of samples) {
    for (const { dose, share } of bins) {
      const amount = dose * doseFactor;
      const weight = share / samples.length;
      for (let l = 0; l < ground.length; l++) {
        const r = weight * layerReflectance(ground[l], amount * k[l], amount * s[l]);
        xyz[0] += XYZ_WEIGHTS[0][l] * r;
        xyz[1] += XYZ_WEIGHTS[1][l] * r;
        xyz[2] += XYZ_WEIGHTS[2][l] * r;
      }
    }
  }
  return xyz;
}

/** Colours of one sample's ink from bare ground to beyond its densest dose, on any ground: what a picture of it is re-rendered by. */
export function alongDoses(layer: InkLayer, region: string, ground: Ground): LabD50[] {
  const sample = layer.samples.find((one) => one.region === region);
  if (!sample) return [];
  const most = Math.max(...sample.bins.map(({ dose }) => dose));
  return DOSE_STEPS.map((step) =>
    xyzToLab(mixed([{ region, bins: [{ dose: step * most, share: 1 }] }], layer, 1, ground.reflectance)),
  );
}

/** Shares of the densest dose; dense at the pale end, where colour changes fastest, and on to what lies beyond. */
export const DOSE_STEPS = [0, 0.01, 0.025, 0.05, 0.09, 0.14, 0.2, 0.28, 0.38, 0.5, 0.65, 0.82, 1, 1.3, 1.8, 2.6];
