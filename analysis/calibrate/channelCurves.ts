/** The three tone curves of a device, from greys that need not be neutral. */
import { inverse3, times } from '../colour/adapt.ts';
import { D50, type Xyz } from '../colour/lab.ts';
import type { ToneCurve } from './calibration.ts';
import { colourMetric } from './colourMetric.ts';
import { fitColour } from './colourFit.ts';
import { fitGreyCurve } from './greyCurve.ts';
import { curveFunction } from './toneCurve.ts';

/** A patch as the curves and the colour fit need it. */
export interface PatchSample {
  readonly id: string;
  readonly grey: boolean;
  readonly device: readonly [number, number, number];
  /** Light at its place, per channel, about 1. */
  readonly light: readonly [number, number, number];
  readonly xyz: Xyz;
}

export interface ChannelCurves {
  readonly curves: readonly [ToneCurve, ToneCurve, ToneCurve];
  /** Ids of greys that broke the rise in some channel. */
  readonly pooled: ReadonlySet<string>;
}

/**
 * First each grey is taken as neutral: its Y is what all channels should give. After a 3 × 3 fit the channels' own
 * values for the grey's known colour are known better (XYZ through the inverse), and the curves are drawn again. Rows of the
 * inverse are scaled so that a perfect white gives 1: the 3 × 3's compromise between colours then does not tint a neutral.
 */
export function fitChannelCurves(patches: readonly PatchSample[], rounds = 3): ChannelCurves {
  const greys = patches.filter((patch) => patch.grey);
  const metrics = patches.map(patchMetric);
  const xyz = patches.map((patch) => patch.xyz);
  let goals = greys.map((grey): Xyz => [grey.xyz[1], grey.xyz[1], grey.xyz[1]]);
  for (let round = 1; ; round++) {
    const fits = [0, 1, 2].map((c) =>
      fitGreyCurve(
        greys.map((grey) => grey.device[c]),
        greys.map((grey, i) => goals[i][c] * grey.light[c]),
      ),
    );
    const curves = [fits[0].curve, fits[1].curve, fits[2].curve] as const;
    if (round === rounds) {
      const pooled = new Set(greys.filter((_, i) => fits.some((fit) => fit.pooled[i])).map((grey) => grey.id));
      return { curves, pooled };
    }
    const signals = linearSignals(patches, curves);
    const { matrix } = fitColour('linear', 0, { signals, xyz, metrics });
    const back = inverse3(matrix);
    const white = times(back, D50);
    goals = greys.map((grey): Xyz => {
      const signal = times(back, grey.xyz);
      return [signal[0] / white[0], signal[1] / white[1], signal[2] / white[2]];
    });
  }
}

/**
 * How a patch's residual counts: as the eye sees it, and greys three times as much, since every paper lies near them and
 * every ink is seen against a paper. (Simulated scanners: papers' error falls from 0.6 to 0.2 ΔE00, inks' by a twentieth.)
 */
export function patchMetric(patch: PatchSample): number[] {
  const metric = colourMetric(patch.xyz);
  return patch.grey ? metric.map((value) => GREY_WEIGHT * value) : metric;
}
const GREY_WEIGHT = 3;

/** Device values → linear signals in even light. */
export function linearSignals(
  patches: readonly PatchSample[],
  curves: readonly [ToneCurve, ToneCurve, ToneCurve],
): [number, number, number][] {
  const at = curves.map(curveFunction);
  return patches.map(({ device, light }) => [
    at[0](device[0]) / light[0],
    at[1](device[1]) / light[1],
    at[2](device[2]) / light[2],
  ]);
}
