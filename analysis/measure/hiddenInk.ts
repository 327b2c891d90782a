/** Ink whose light and dark lie lower than paper's: what it is ordered by instead of lightness. */
import type { LabValue } from '../quantity.ts';
import { xyzToLab } from '../colour/lab.ts';
import { triple } from '../triple.ts';
import { signalsToXyz } from '../calibrate/apply.ts';
import type { RegionInk } from '../locate/regionInk.ts';
import type { RegionDoses } from './film/doses.ts';
import { inkOrder, orderedEnds, type OrderedEnds } from './inkOrder.ts';
import type { RegionInput } from './region.ts';
import type { OrderOfInk } from './shading.ts';
import { Z90 } from '../scatter.ts';

export interface HiddenInk extends OrderOfInk {
  /** Mean linear signals about the 10th and the 90th percentile of thinness. */
  readonly dark: LabValue;
  readonly light: LabValue;
  /** What paper and noise do to the logarithms of signals where they make a step of 1 in thinness, and what ink does. */
  readonly paperStep: LabValue;
  readonly inkStep: LabValue;
}

/** Of a step in lightness the ink's own variance must be this share, or it is looked for in its own colour; common practice, no source. */
const LEAST_OWN = 0.9;
/** About how linear signals add up to Y. */
const LUMINANCE: LabValue = [0.25, 0.65, 0.1];
/** A step of paper small enough to be straight in Lab, large enough for 32 bits. */
const STEP = 0.02;

interface Smoothed {
  readonly doses: Pick<RegionDoses, 'dark' | 'light'>;
  readonly smoothRatio: Float32Array;
  readonly paperNoise: number;
  readonly sigmaPx: number;
  readonly bothWays: boolean;
}

/** Null where lightness tells the ink's light from its dark, or tells it as well. */
export function hiddenInk(
  { doses, smoothRatio, paperNoise, sigmaPx, bothWays }: Smoothed,
  { ink, bare }: RegionInk,
  input: RegionInput,
): HiddenInk | null {
  const step = Math.log(lightOf(doses.light) / Math.max(1e-6, lightOf(doses.dark)));
  const floor = 2 * Z90 * paperNoise;
  if (floor * floor < (1 - LEAST_OWN) * step * step) return null;
  const order = inkOrder(smoothRatio, ink, bare, sigmaPx, bothWays);
  if (order === null) return null;
  const ends = orderedEnds(order, smoothRatio);
  if (ends.step * floor < 2 * Z90 * order.noise * step) return null;
  const paper = input.bare!.signal;
  return {
    ...order,
    dark: triple((c) => ends.dark[c] * paper[c]),
    light: triple((c) => ends.light[c] * paper[c]),
    paperLab: labStep(ends, order.paperStep, input),
    inkLab: labStep(ends, order.inkStep, input),
  };
}

function lightOf(signal: LabValue): number {
  return LUMINANCE[0] * signal[0] + LUMINANCE[1] * signal[1] + LUMINANCE[2] * signal[2];
}

function labStep({ dark, light }: OrderedEnds, along: LabValue, { bare, calibration }: RegionInput): LabValue {
  const longest = Math.max(...along.map(Math.abs), 1e-6);
  const reach = STEP / longest;
  const at = (side: number) =>
    triple((c) => Math.sqrt(dark[c] * light[c]) * Math.exp(side * reach * along[c]) * bare!.signal[c]);
  const both = Float32Array.from([...at(-1), ...at(1)]);
  signalsToXyz(both, calibration, both);
  const [less, more] = [0, 3].map((i) => xyzToLab([both[i], both[i + 1], both[i + 2]]));
  return triple((c) => (more[c] - less[c]) / (2 * reach));
}
