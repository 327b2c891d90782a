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
  /** Factor on its residual, 0..1 (referenceDoubt.ts). @default 1 */
  readonly trust?: number;
  /** Standard uncertainty of its known Y, relative. @default 0 */
  readonly doubtOfY?: number;
}

export interface ChannelCurves {
  readonly curves: readonly [ToneCurve, ToneCurve, ToneCurve];
  /** Ids of greys that broke the rise in some channel. */
  readonly pooled: ReadonlySet<string>;
}

type Triple = readonly [number, number, number];

const ROUNDS = 3;

/**
 * One curve a channel, for greys that are flat. First each grey is taken as neutral: its Y is what all channels should give. After a 3 × 3 fit the channels' own
 * values for the grey's known colour are known better (XYZ through the inverse), and the curves are drawn again. Rows of the
 * inverse are scaled so that a perfect white gives 1: the 3 × 3's compromise between colours then does not tint a neutral.
 */
export function fitOwnCurves(patches: readonly PatchSample[]): ChannelCurves {
  const greys = patches.filter((patch) => patch.grey);
  let goals = greys.map((grey): Triple => [grey.xyz[1], grey.xyz[1], grey.xyz[1]]);
  for (let round = 1; ; round++) {
    const fits = [0, 1, 2].map((c) =>
      fitGreyCurve(
        greys.map((grey) => grey.device[c]),
        greys.map((grey, i) => goals[i][c] * grey.light[c]),
        greys.map((grey) => grey.doubtOfY ?? 0),
      ),
    );
    const curves = [fits[0].curve, fits[1].curve, fits[2].curve] as const;
    if (round === ROUNDS) {
      const pooled = new Set(greys.filter((_, i) => fits.some((fit) => fit.pooled[i])).map((grey) => grey.id));
      return { curves, pooled };
    }
    const back = inverse3(roughMatrix(patches, curves));
    const white = times(back, D50);
    goals = greys.map((grey) => {
      const signal = times(back, grey.xyz);
      return [signal[0] / white[0], signal[1] / white[1], signal[2] / white[2]];
    });
  }
}

/**
 * One curve for all channels, for greys mixed from dyes (mixedGreys.ts): it gives each grey its luminance, the only figure of such a
 * grey that eye and scanner agree on. The gains between the channels are left to the matrix.
 */
export function fitSharedCurve(patches: readonly PatchSample[]): ChannelCurves {
  const greys = patches.filter((patch) => patch.grey);
  const device = greys.map((grey) => luminanceShare(grey.device));
  const doubts = greys.map((grey) => grey.doubtOfY ?? 0);
  let goals = greys.map((grey) => grey.xyz[1] * luminanceShare(grey.light));
  for (let round = 1; ; round++) {
    const { curve, pooled } = fitGreyCurve(device, goals, doubts);
    const curves = [curve, curve, curve] as const;
    if (round === 2 * ROUNDS)
      return { curves, pooled: new Set(greys.filter((_, i) => pooled[i]).map((grey) => grey.id)) };
    const [, rowY] = roughMatrix(patches, curves);
    goals = goals.map((goal, i) => {
      const [signal] = linearSignals([greys[i]], curves);
      const luminance = rowY[0] * signal[0] + rowY[1] * signal[1] + rowY[2] * signal[2];
      return luminance > 0 ? (goal * greys[i].xyz[1]) / luminance : goal;
    });
  }
}
/** About how the channels add up to Y, in coded values; a round of the above mends what it lacks. */
const LUMINANCE = [0.25, 0.6, 0.15] as const;

function luminanceShare(v: Triple): number {
  return LUMINANCE[0] * v[0] + LUMINANCE[1] * v[1] + LUMINANCE[2] * v[2];
}

/** Device values → linear signals in even light. */
export function linearSignals(
  patches: readonly Pick<PatchSample, 'device' | 'light'>[],
  curves: readonly [ToneCurve, ToneCurve, ToneCurve],
): [number, number, number][] {
  const at = curves.map(curveFunction);
  return patches.map(({ device, light }) => [
    at[0](device[0]) / light[0],
    at[1](device[1]) / light[1],
    at[2](device[2]) / light[2],
  ]);
}

/**
 * How a patch's residual counts: as the eye sees it, and the target's white seven times as much, since every ink is seen against paper and every
 * paper lies near white. (Simulated scanners: white paper's error falls from 0.7 to 0.1 ΔE00, inks' a little.) Not all greys: mixed ones would tint the paper.
 */
export function patchMetrics(patches: readonly PatchSample[]): number[][] {
  const white = patches.reduce((best, patch) => (whiteness(patch) > whiteness(best) ? patch : best));
  return patches.map((patch) => {
    const metric = colourMetric(patch.xyz);
    const weight = (patch === white ? WHITE_WEIGHT : 1) * (patch.trust ?? 1);
    return weight === 1 ? metric : metric.map((value) => weight * value);
  });
}
const WHITE_WEIGHT = 7;

/** L* of a grey; any other patch comes last. */
function whiteness(patch: PatchSample): number {
  return patch.grey ? patch.xyz[1] : patch.xyz[1] - 1;
}

function roughMatrix(
  patches: readonly PatchSample[],
  curves: readonly [ToneCurve, ToneCurve, ToneCurve],
): readonly (readonly number[])[] {
  const xyz = patches.map((patch) => patch.xyz);
  const signals = linearSignals(patches, curves);
  return fitColour('linear', 0, { signals, xyz, metrics: patchMetrics(patches) }).matrix;
}
