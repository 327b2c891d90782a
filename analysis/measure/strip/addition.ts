/**
 * How the colours of dyes that lie over each other add on a strip's paper. Two laws are the ends of what papers do: densities add where colour
 * lies over a bright ground like a filter (Beer–Lambert), and absorption over scattering, K/S, where it lies throughout an opaque layer
 * (Kubelka & Munk 1931, Z. tech. Phys. 12, 593–601). Amounts are what adds; they are scaled so that a trace has its density for an amount.
 */
import type { FitData } from './bandFit.ts';
import type { Triple } from './visualDensity.ts';

export interface Addition {
  readonly law: 'densities' | 'layer';
  /** @param channel 0..2. @param density over the paper. */
  readonly amountOf: (channel: number, density: number) => number;
  readonly densityOf: (channel: number, amount: number) => number;
  /** Derivative of the amount, 1 at no density. */
  readonly slopeAt: (channel: number, density: number) => number;
}

export const DENSITIES_ADD: Addition = {
  law: 'densities',
  amountOf: (_, density) => density,
  densityOf: (_, amount) => amount,
  slopeAt: () => 1,
};

/** A layer's paper reflects no more than this, whatever was called white. */
const BRIGHTEST = 0.95;

/** @param paper signals of the bare paper, white about 1. */
export function layerAdds(paper: Triple): Addition {
  const bare = paper.map((signal) => Math.min(BRIGHTEST, Math.max(0.05, signal)));
  const scale = bare.map((R) => fall(R));
  // What is brighter than its paper is chance: there amounts go on as densities.
  return {
    law: 'layer',
    amountOf: (c, density) =>
      density <= 0 ? density : (ratioOf(bare[c] * 10 ** -density) - ratioOf(bare[c])) / scale[c],
    densityOf: (c, amount) =>
      amount <= 0 ? amount : -Math.log10(reflectance(ratioOf(bare[c]) + amount * scale[c]) / bare[c]),
    slopeAt: (c, density) => (density <= 0 ? 1 : fall(bare[c] * 10 ** -density) / scale[c]),
  };
}

/** K/S of an opaque layer. */
function ratioOf(R: number): number {
  return (1 - R) ** 2 / (2 * R);
}

function reflectance(ratio: number): number {
  return 1 / (1 + ratio + Math.sqrt(ratio * ratio + 2 * ratio));
}

/** Change of K/S with density. */
function fall(R: number): number {
  return (Math.LN10 * (1 - R * R)) / (2 * R);
}

/** Densities and their chance as amounts by a law. */
export function asAmounts(data: FitData, addition: Addition): FitData {
  if (addition.law === 'densities') return data;
  const { bins, density } = data;
  const perAmount = (whiten: Float64Array): Float64Array =>
    whiten.map((w, k) => {
      const c = k % 3;
      return w / addition.slopeAt(c, density[c * bins + Math.floor(k / 9)]);
    });
  return {
    ...data,
    density: density.map((v, k) => addition.amountOf(Math.floor(k / bins), v)),
    whiten: perAmount(data.whiten),
    chance: perAmount(data.chance),
  };
}

/** @param amounts one a channel. */
export function densitiesOf(addition: Addition, amounts: Triple): Triple {
  return [addition.densityOf(0, amounts[0]), addition.densityOf(1, amounts[1]), addition.densityOf(2, amounts[2])];
}
