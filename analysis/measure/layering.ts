/** What going over a line does: the colour where strokes cross, where two passes lie, against a single pass of the same strokes. */
import { gatherTriples } from '../raster/gatherTriples.ts';
import { differenceUncertainty } from '../calibrate/uncertainty.ts';
import { deltaE2000 } from '../colour/deltaE.ts';
import { type LabD50, xyzToLab } from '../colour/lab.ts';
import { areCrossingsFilled } from './edge/measureEdges.ts';
import type { Flag, Quantity, Subject } from '../quantity.ts';
import { deviation } from '../scatter.ts';
import { seededRandom } from '../seededRandom.ts';
import { triple } from '../triple.ts';
import { inkColours, type InkSample } from './inkSample.ts';
import { deltaESlope } from './colourPairs.ts';
import type { MeasuredColour } from './measuredColour.ts';
import type { RegionInput } from './region.ts';
import { combine } from './uncertainty.ts';
import { FEW_PIXELS, LEAST_PIXELS, twoLayers } from './twoLayers.ts';
import { SHADING_LIMITS, verdict } from './verdict.ts';

export const LAYERING_METHOD = 'layering/14';

export interface Layering {
  readonly quantity: Quantity;
  /** Mean linear signal of two layers on the reference paper; null when there is no value. */
  readonly double: readonly [number, number, number] | null;
}

export interface LayeringOptions {
  /** Between single and doubled density the limit of two layers lies here: pools of single ink lie below, and of two layers the paler ones. @default 0.45 */
  readonly limit?: number;
  /** Denser than this between single and doubled there are three layers, or a pool. @default 1.5 */
  readonly tooDense?: number;
  /** Fewer crossings than this are flagged. @default 5 */
  readonly few?: number;
  /** @default 200 */
  readonly draws?: number;
}
export const LAYERING_DEFAULTS = { limit: 0.45, tooDense: 1.5, few: 5, draws: 200 } satisfies Required<LayeringOptions>;

/** Pools and touches of a third layer lie among two layers: where densities there differ, the difference is in doubt by this share of how much (study writing). */
const UNLIKE_SHARE = 0.25;

/** @param single Colour of the single layers. @param flags What is known of the region. */
export function layering(
  sample: InkSample,
  input: RegionInput,
  single: MeasuredColour,
  subject: Subject,
  flags: readonly Flag[],
  seed: number,
  options: LayeringOptions = {},
): Layering {
  const used = { ...LAYERING_DEFAULTS, ...options };
  const none = (...why: Flag[]): Layering => ({
    quantity: {
      quantity: 'layering',
      subject,
      value: null,
      unit: 'ΔE00',
      u: null,
      flags: [...new Set([...flags, ...why])],
      method: LAYERING_METHOD,
    },
    double: null,
  });
  const { crossings } = sample;
  if (crossings === null) return none('no-crossings');
  // Blur fills the crossings of lines that are read along their core.
  if (sample.narrow) return none('below-resolution');
  const twice = twoLayers(sample, crossings, input, used);
  if (twice === null) return none('no-crossings');
  if (twice.core.length < LEAST_PIXELS) return none('no-crossings', 'below-resolution');
  const groups = crossingColours(twice.core, sample, input);
  const all = meanLab(groups);
  const value = deltaE2000(all, single.lab);
  const slope = deltaESlope(single.lab, all);
  let scatter = 0;
  for (let p = 0; p < 3; p++) {
    for (let q = 0; q < 3; q++) scatter += slope[p] * slope[q] * single.covariance[3 * p + q];
  }
  const repeat = Math.hypot(bootstrap(groups, single.lab, seed, used.draws), Math.sqrt(Math.max(0, scatter)));
  const calibration = differenceUncertainty(single.lab, all, input.calibration.calibration, 'one paper');
  const valueOf = (pixels: Int32Array): number =>
    pixels.length < LEAST_PIXELS ? value : deltaE2000(meanLab(crossingColours(pixels, sample, input)), single.lab);
  const edge = valueOf(twice.shifted) - value;
  const limit = valueOf(twice.stricter) - valueOf(twice.looser);
  const parts = combine(repeat, calibration, Math.hypot(edge, limit, UNLIKE_SHARE * twice.unlike * value));
  const why = new Set(flags);
  if (groups.length < used.few || twice.core.length < FEW_PIXELS) why.add('few-pixels');
  if (sample.edges !== null && areCrossingsFilled(sample.edges)) why.add('below-resolution');
  return {
    quantity: {
      quantity: 'layering',
      subject,
      value,
      unit: 'ΔE00',
      ...parts,
      verdict: verdict(value, parts.u, SHADING_LIMITS),
      limits: SHADING_LIMITS,
      flags: [...why],
      method: LAYERING_METHOD,
    },
    double: meanSignal(twice.core, sample, input),
  };
}

function meanSignal(core: Int32Array, { ink }: InkSample, input: RegionInput): readonly [number, number, number] {
  const sum = [0, 0, 0];
  for (const i of core) for (let c = 0; c < 3; c++) sum[c] += ink.ratio[3 * i + c];
  return triple((c) => (sum[c] / core.length) * input.bare!.signal[c]);
}

/** Sums of X, Y, Z and the pixels of one crossing. */
type Crossing = readonly [x: number, y: number, z: number, pixels: number];

/** Pixels that hang together (8-connected) are one crossing's. */
function crossingColours(core: Int32Array, { ink }: InkSample, input: RegionInput): Crossing[] {
  const w = ink.mask.widthPx;
  const xyz = inkColours(gatherTriples(ink.ratio, core), input.bare!, input);
  const at = new Map<number, number>();
  core.forEach((i, k) => at.set(i, k));
  const seen = new Uint8Array(core.length);
  const out: Crossing[] = [];
  for (let start = 0; start < core.length; start++) {
    if (seen[start]) continue;
    seen[start] = 1;
    const stack = [start];
    const sum: [number, number, number, number] = [0, 0, 0, 0];
    while (stack.length > 0) {
      const k = stack.pop()!;
      for (let c = 0; c < 3; c++) sum[c] += xyz[3 * k + c];
      sum[3]++;
      for (const step of [-w - 1, -w, -w + 1, -1, 1, w - 1, w, w + 1]) {
        const next = at.get(core[k] + step);
        if (next === undefined || seen[next]) continue;
        seen[next] = 1;
        stack.push(next);
      }
    }
    out.push(sum);
  }
  return out;
}

function meanLab(crossings: readonly Crossing[]): LabD50 {
  const sum = [0, 0, 0, 0];
  for (const crossing of crossings) for (let k = 0; k < 4; k++) sum[k] += crossing[k];
  return xyzToLab(triple((c) => sum[c] / sum[3]));
}

/** Standard deviation of the difference when crossings are drawn anew, each with its own share of pixels. */
function bootstrap(crossings: readonly Crossing[], single: LabD50, seed: number, draws: number): number {
  const random = seededRandom(seed);
  const values = Array.from({ length: draws }, () => {
    const drawn = crossings.map(() => crossings[Math.floor(random() * crossings.length)]);
    return deltaE2000(meanLab(drawn), single);
  });
  return deviation(values);
}
