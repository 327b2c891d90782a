/** A channel's tone curve from the target's grey steps. */
import type { ToneCurve } from './calibration.ts';
import { smoothedSteps } from './smoothedSteps.ts';

/** Steps nearer than this in device value count as one: a slope between them would be noise. */
const SAME_DEVICE = 0.004;
/** Fewer different steps than this cannot say how a device bends. */
const FEWEST_KNOTS = 3;
/** Stray light is believed when it takes away half of the squared misfit and the rest is small, in L*. */
const FLARE_GAIN = 0.5;
const FLARE_MISFIT = 0.5;
/** Power laws are tried through the origin and in sRGB's form (IEC 61966-2-1), whose power acts on device + 0.055. */
const DEVICE_OFFSETS = [0, 0.055];
/** Stray light that is tried, in linear units. */
const FLARES: readonly number[] = Array.from({ length: 41 }, (_, i) => 0.0005 * 1.12 ** i);

export interface GreyCurve {
  readonly curve: ToneCurve;
  /** Per grey given, in the order given: whether it broke the rise and was pooled with its neighbours. */
  readonly pooled: readonly boolean[];
}

/**
 * @param device the channel's values of the greys, 0..1, in any order
 * @param signal what the channel should give for each, linear, a perfect white 1
 * A power law with stray light, signal + flare = k · (device + offset)^exponent, is fitted first; in the space that it
 * makes straight, a cubic between a dozen steps follows any scanner. The knots themselves are the steps; those that break the
 * rise are pooled (isotonic regression). Steps that are known exactly are not smoothed, others as far as they are in doubt.
 * @param doubt standard uncertainty of each signal, relative to it; all 0 unless given
 */
export function fitGreyCurve(
  device: readonly number[],
  signal: readonly number[],
  doubt: readonly number[] = [],
): GreyCurve {
  const { exponent, flare } = powerLaw(device, signal);
  const roots = signal.map((value) => Math.pow(Math.max(value + flare, 0), 1 / exponent));
  const root = doubt.some((u) => u > 0)
    ? smoothedSteps(
        device,
        roots,
        roots.map((value, i) => (value * doubt[i] * signal[i]) / Math.max(signal[i] + flare, 1e-9) / exponent),
      )
    : roots;
  const order = device.map((_, i) => i).sort((i, j) => device[i] - device[j] || signal[i] - signal[j]);
  const pooled = device.map(() => false);
  const blocks: Block[] = [];
  for (const i of order) {
    let block: Block = { members: [i], device: device[i], root: root[i] };
    let before = blocks.at(-1);
    while (before !== undefined && (block.device - before.device < SAME_DEVICE || block.root <= before.root)) {
      const brokeRise = block.device - before.device >= SAME_DEVICE;
      blocks.pop();
      block = join(before, block);
      if (brokeRise) for (const member of block.members) pooled[member] = true;
      before = blocks.at(-1);
    }
    blocks.push(block);
  }
  if (blocks.length < FEWEST_KNOTS) return { curve: anyRise(device, signal), pooled: device.map(() => true) };
  const knots = blocks.map((block) => block.device);
  const linear = blocks.map((block) => Math.pow(block.root, exponent) - flare);
  return { curve: { device: knots, linear, exponent, flare }, pooled };
}

interface Block {
  readonly members: readonly number[];
  readonly device: number;
  readonly root: number;
}

function join(a: Block, b: Block): Block {
  const n = a.members.length;
  const m = b.members.length;
  return {
    members: [...a.members, ...b.members],
    device: (n * a.device + m * b.device) / (n + m),
    root: (n * a.root + m * b.root) / (n + m),
  };
}

interface PowerLaw {
  readonly exponent: number;
  readonly flare: number;
  /** Mean squared misfit, in L*. */
  readonly misfit: number;
}

/** Steps at 0 have no logarithm and do not speak. */
function powerLaw(device: readonly number[], signal: readonly number[]): PowerLaw {
  const used = device.map((_, i) => i).filter((i) => device[i] > 0 && signal[i] > 0);
  const light = Float64Array.from(used, (i) => signal[i]);
  const lightness = light.map(Math.cbrt);
  const steps = DEVICE_OFFSETS.map((offset) => Float64Array.from(used, (i) => Math.log(device[i] + offset)));
  const plain = bestOf(steps.map((x) => powerLawWith(x, 0, light, lightness)));
  const lit = bestOf(steps.flatMap((x) => FLARES.map((flare) => powerLawWith(x, flare, light, lightness))));
  return lit.misfit < FLARE_GAIN * plain.misfit && lit.misfit < FLARE_MISFIT ** 2 ? lit : plain;
}

function bestOf(laws: readonly PowerLaw[]): PowerLaw {
  return laws.reduce((best, law) => (law.misfit < best.misfit ? law : best));
}

/**
 * Straight line through logarithms, held to exponents that a scanner can have. Asked some eighty times a channel and round: plain loops.
 * @param x ln(device + offset) of the steps. @param lightness cube roots of `light`
 */
function powerLawWith(x: Float64Array, flare: number, light: Float64Array, lightness: Float64Array): PowerLaw {
  const n = x.length;
  const y = new Float64Array(n);
  let xMean = 0;
  let yMean = 0;
  for (let k = 0; k < n; k++) {
    y[k] = Math.log(light[k] + flare);
    xMean += x[k] / n;
    yMean += y[k] / n;
  }
  let xx = 0;
  let xy = 0;
  for (let k = 0; k < n; k++) {
    xx += (x[k] - xMean) ** 2;
    xy += (x[k] - xMean) * (y[k] - yMean);
  }
  const exponent = Math.min(4, Math.max(0.5, xx > 0 ? xy / xx : 1));
  let misfit = 0;
  for (let k = 0; k < n; k++) {
    const fitted = Math.exp(yMean + exponent * (x[k] - xMean)) - flare;
    misfit += (116 * (Math.cbrt(fitted) - lightness[k])) ** 2 / n;
  }
  return { exponent, flare, misfit };
}

/** For greys in disorder (a wrong reference): any rising curve will do, the report card then says 'poor'. */
function anyRise(device: readonly number[], signal: readonly number[]): ToneCurve {
  const top = Math.max(...device, 1e-3);
  const white = Math.max(...signal, 1e-3);
  return { device: [0, top / 2, top], linear: [0, white / 4, white], exponent: 2, flare: 0 };
}
