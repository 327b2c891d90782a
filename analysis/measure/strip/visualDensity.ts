/** Absorbance weighted to Y: what three channel densities over a paper amount to for the eye. */
import { signalToXyz, type CompiledCalibration } from '../../calibrate/apply.ts';

export type Triple = readonly [number, number, number];

/** Signal of a density over paper, per channel: paper · 10^(−density). */
export function signalUnder(paper: Triple, density: Triple): [number, number, number] {
  return [paper[0] * 10 ** -density[0], paper[1] * 10 ** -density[1], paper[2] * 10 ** -density[2]];
}

/** −log10(Y/Y of the paper), from three densities over that paper. */
export function visualDensity(paper: Triple, density: Triple, c: CompiledCalibration): number {
  const bare = signalToXyz([paper[0], paper[1], paper[2]], c)[1];
  const under = signalToXyz(signalUnder(paper, density), c)[1];
  return -Math.log10(Math.max(1e-4, under / Math.max(1e-6, bare)));
}
