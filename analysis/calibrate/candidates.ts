/** Which colour model a target can carry: every candidate judged on patches that its fit never saw. */
import { deltaE2000 } from '../colour/deltaE.ts';
import { xyzToLab, type LabD50 } from '../colour/lab.ts';
import { linearSignals, patchMetrics, type ChannelCurves, type PatchSample } from './channelCurves.ts';
import { colourSystem, type ColourFit, type ColourSamples, type JudgedFit } from './colourFit.ts';
import { COLOUR_MODELS, termCount, type FittedModel } from './models.ts';

export interface Candidate {
  readonly model: FittedModel;
  readonly ridge: number;
  readonly fit: ColourFit;
  /** Per patch, its colour by a fit without it; for a grey the curves were drawn without it as well. */
  readonly leftOut: readonly LabD50[];
  readonly dE00LeftOut: readonly number[];
  readonly leftOutMean: number;
  readonly standardError: number;
}

/**
 * @param drawCurves the tone curves of a target, by all its patches or by all but one
 * @returns every candidate, best left-out mean first
 */
export function judgeCandidates(
  patches: readonly PatchSample[],
  drawCurves: (patches: readonly PatchSample[]) => ChannelCurves,
  ridges: readonly number[],
): Candidate[] {
  const metrics = patchMetrics(patches);
  const xyz = patches.map((patch) => patch.xyz);
  const weights = leftOutWeights(patches);
  const samplesWith = ({ curves }: ChannelCurves): ColourSamples => ({
    signals: linearSignals(patches, curves),
    xyz,
    metrics,
  });
  const all = systemsOf(samplesWith(drawCurves(patches)));
  /** For a grey: the target's signals by curves that never saw it. */
  const withoutGrey = patches.map((patch) =>
    patch.grey ? systemsOf(samplesWith(drawCurves(patches.filter((other) => other !== patch)))) : null,
  );
  return settings(patches.length, ridges)
    .map(({ model, ridge }): Candidate => {
      const fit = all(model)(ridge);
      const leftOut = patches.map((_, i) => {
        const own = withoutGrey[i];
        return xyzToLab((own === null ? fit : own(model)(ridge)).leftOut(i));
      });
      const dE00LeftOut = leftOut.map((lab, i) => deltaE2000(xyzToLab(xyz[i]), lab));
      const { mean, standardError } = weightedMean(dE00LeftOut, weights);
      return { model, ridge, fit, leftOut, dE00LeftOut, leftOutMean: mean, standardError };
    })
    .sort((a, b) => a.leftOutMean - b.leftOutMean);
}

/** Each model's sums over the samples, made when first asked for: all ridges share them. */
function systemsOf(samples: ColourSamples): (model: FittedModel) => (ridge: number) => JudgedFit {
  const made = new Map<FittedModel, (ridge: number) => JudgedFit>();
  return (model) => {
    const system = made.get(model) ?? colourSystem(model, samples);
    made.set(model, system);
    return system;
  };
}

/** The simplest within one standard error of the best: poorer model first, then the stronger ridge (Breiman et al. 1984, ch. 3). */
export function simplestGood(candidates: readonly Candidate[]): Candidate {
  const limit = candidates[0].leftOutMean + candidates[0].standardError;
  const good = candidates.filter((candidate) => candidate.leftOutMean <= limit);
  return good.reduce((simplest, candidate) => (richness(candidate) < richness(simplest) ? candidate : simplest));
}

/** How much each patch's left-out error says of the scanner: little where its known value is in doubt itself. */
export function leftOutWeights(patches: readonly PatchSample[]): number[] {
  return patches.map((patch) => (patch.trust ?? 1) ** 2);
}

function weightedMean(
  values: readonly number[],
  weights: readonly number[],
): { readonly mean: number; readonly standardError: number } {
  let total = 0;
  let squares = 0;
  let sum = 0;
  values.forEach((value, i) => {
    total += weights[i];
    squares += weights[i] * weights[i];
    sum += weights[i] * value;
  });
  const mean = sum / total;
  // As many as equal ones would say as much (Kish 1965).
  const n = (total * total) / squares;
  const scatter = values.reduce((rest, value, i) => rest + weights[i] * (value - mean) ** 2, 0) / total;
  return { mean, standardError: Math.sqrt(scatter / (n - 1)) };
}

function richness({ model, ridge }: Candidate): number {
  return COLOUR_MODELS.indexOf(model) - ridge / (1 + ridge);
}

/** A model needs a few patches more than it has terms, else its left-out figures are noise. */
function settings(patches: number, ridges: readonly number[]): { model: FittedModel; ridge: number }[] {
  return COLOUR_MODELS.filter((model) => model === 'linear' || patches >= termCount(model) + 4).flatMap((model) =>
    (model === 'linear' ? [0] : ridges).map((ridge) => ({ model, ridge })),
  );
}
