/** A fitted film as R0 and T of three channels, and how much of black shows through it. */
import { xyzOnGrid } from '../../film/grid.ts';
import { CHANNEL_WEIGHTS } from './channels.ts';
import type { InkLayer, LayerCurves, LayerSample } from './inkLayer.ts';
import { layerOf, onGround, STANDARD_WHITE } from './layerOptics.ts';

export interface Told {
  readonly value: number;
  readonly u: number;
}

export interface FilmNumbers {
  readonly channels: readonly { readonly r0: Told; readonly t: Told }[];
  /** T of all light, weighted to Y. */
  readonly t: Told;
  /** Y over perfect black over Y over the standard white. */
  readonly contrast: Told;
}

/** Of reflectances and their ratios, what is left where the fit knows all. */
const LEAST = 0.004;
/** What a layer sends back over black is told by dark signals, and the tone curve is in doubt there, too: so much more than the fit says. Seeds 201–236 of study/opacity.ts. */
const WIDER_OVER_BLACK = 1.25;

/** @param regions of one pen. Null: none of them belongs to this layer */
export function filmNumbers(layer: InkLayer, regions: readonly string[]): FilmNumbers | null {
  const samples = layer.samples.filter(({ region }) => regions.includes(region));
  if (samples.length === 0) return null;
  const here = numbersOf(samples, layer, 1);
  const moved = layer.doubts.map((one) => numbersOf(samples, one, one.doseFactor));
  const told = here.map((value, i): Told => ({ value, u: Math.hypot(LEAST, ...moved.map((one) => one[i] - value)) }));
  return {
    channels: [0, 1, 2].map((c) => ({ r0: told[2 * c], t: told[2 * c + 1] })),
    t: told[6],
    contrast: { value: here[7], u: Math.hypot(LEAST, ...moved.map((one) => WIDER_OVER_BLACK * (one[7] - here[7]))) },
  };
}

/** R0 and T of each channel in turn, T by Y, contrast. */
function numbersOf(samples: readonly LayerSample[], { k, s }: LayerCurves, doseFactor: number): number[] {
  const [r0, t, black, white] = [0, 1, 2, 3].map(() => new Float64Array(k.length));
  for (const { bins } of samples) {
    for (const { dose, share } of bins) {
      const weight = share / samples.length;
      for (let l = 0; l < k.length; l++) {
        const one = layerOf(dose * doseFactor * k[l], dose * doseFactor * s[l]);
        r0[l] += weight * one.r0;
        t[l] += weight * one.t;
        black[l] += weight * onGround(one.r0, one.t, 0);
        white[l] += weight * onGround(one.r0, one.t, STANDARD_WHITE);
      }
    }
  }
  const channels = CHANNEL_WEIGHTS.flatMap((weights) => [dot(weights, r0), dot(weights, t)]);
  return [...channels, xyzOnGrid(t)[1], xyzOnGrid(black)[1] / xyzOnGrid(white)[1]];
}

function dot(weights: readonly number[], values: Float64Array): number {
  return weights.reduce((sum, weight, l) => sum + weight * values[l], 0);
}
