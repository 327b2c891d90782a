/** How far off colours come out through a target, and whether the uncertainties say so: simulated scanners, exact spectra. */
import { linearSignals } from '../analysis/calibrate/channelCurves.ts';
import { predictColour } from '../analysis/calibrate/colourFit.ts';
import { fitCalibration } from '../analysis/calibrate/fit.ts';
import { colourUncertainty, differenceUncertainty } from '../analysis/calibrate/uncertainty.ts';
import { deltaE2000 } from '../analysis/colour/deltaE.ts';
import { xyzToLab, type LabD50 } from '../analysis/colour/lab.ts';
import type { Calibration } from '../analysis/calibrate/calibration.ts';
import { choicesTables } from './calibrationChoices.ts';
import { drawnWorld, sampleWorld, type CalibrationWorld } from './calibrationWorlds.ts';
import { xyzOf } from './spectra.ts';

const KINDS = ['ink', 'white paper', 'other paper', 'two doses', 'two papers', 'papers'] as const;
type Kind = (typeof KINDS)[number];

/** One figure: its error in ΔE00, and the share of its components within ± 2u. */
interface Outcome {
  readonly kind: Kind;
  readonly error: number;
  readonly covered: number;
}

export function calibrationStudy(seeds: number): string {
  const drawn = Array.from({ length: seeds }, (_, i) => tried(drawnWorld(i + 1), i + 1));
  const sample = Array.from({ length: Math.ceil(seeds / 2) }, (_, i) => tried(sampleWorld(2 * i + 2), 2 * i + 2));
  const unseen = drawn.filter((world) => world.seed % 2 === 0);
  return [
    '# Calibration: what a target can give',
    '',
    `Made by \`study/calibration.ts\`: ${seeds} simulated scanners, light noise, exact spectra. Inks: real dyes mixed, lobes, and the sample scans’`,
    'inks, at doses that are log-normal (median 1, log-sd 1.2) on four papers. "two doses": the ΔE00 between two doses of one ink on white paper, as',
    'shading is; "two papers": between one dose on two papers, as tone shift is. Errors in ΔE00: median / 90th / 95th percentile; then the share of',
    'figures within ± 2u (of colours: of their components). Only even seeds are shown. How far off an ink is depends first on how unlike the eye the',
    'scanner is, which no target tells: these scanners are unlike it on purpose, the sample scans’ are closer; and the doses here go far beyond a',
    'swab’s. The uncertainties’ constants were chosen on swabs (coverage.md), so these heavier inks are covered a little less.',
    '',
    '## Unseen scanners, all targets',
    '',
    table(unseen),
    '',
    ...['photographic', 'dots', 'colorants'].flatMap((target) => [
      `## Unseen scanners, target: ${target}`,
      '',
      table(unseen.filter((world) => world.target === target)),
      '',
    ]),
    '## The sample scans’ scanners and card',
    '',
    table(sample),
    '',
    '## What follows for the fit',
    '',
    '- A root polynomial without ridge fits the chart best and inks off the chart worst, so no candidate is without.',
    '- Beyond that the candidates hardly differ on inks: what is left is the scanner’s, which no map mends.',
    '- Greys mixed from three dyes are not flat, and a curve a channel learns their metamerism: the chart looks twice as good, grey papers come',
    '  out twice as bad. Hence the shared curve for such targets, and their worse, honest report card.',
    '- The target’s white counts seven times: it anchors papers and pale inks.',
    '',
    choicesTables(Array.from({ length: Math.ceil(seeds / 3) }, (_, i) => drawnWorld(2 * i + 2))),
  ].join('\n');
}

interface Tried {
  readonly seed: number;
  readonly target: string;
  readonly calibration: Calibration;
  readonly outcomes: readonly Outcome[];
}

function tried(world: CalibrationWorld, seed: number): Tried {
  const calibration = fitCalibration(world.readings, world.reference);
  const fit = { model: calibration.model, ridge: calibration.ridge, matrix: calibration.matrix };
  const told = (r: Float64Array | readonly number[]): LabD50 => {
    const [signal] = linearSignals([{ device: world.device(r), light: [1, 1, 1] }], calibration.curves);
    return xyzToLab(predictColour(fit, signal));
  };
  const seen = (r: Float64Array | readonly number[]): readonly [truth: LabD50, told: LabD50] => [
    xyzToLab(xyzOf(r)),
    told(r),
  ];
  const outcomes: Outcome[] = [];
  const colour = (kind: Kind, [truth, found]: readonly [LabD50, LabD50]): void => {
    const u = colourUncertainty(found, calibration, kind === 'ink' ? 'ink' : 'paper');
    const within = [0, 1, 2].filter((k) => Math.abs(found[k] - truth[k]) <= 2 * u[k]).length;
    outcomes.push({ kind, error: deltaE2000(truth, found), covered: within / 3 });
  };
  const pair = (kind: Kind, a: readonly [LabD50, LabD50], b: readonly [LabD50, LabD50]): void => {
    const error = Math.abs(deltaE2000(a[1], b[1]) - deltaE2000(a[0], b[0]));
    outcomes.push({
      kind,
      error,
      covered:
        error <= 2 * differenceUncertainty(a[1], b[1], calibration, kind === 'two doses' ? 'one paper' : 'two papers')
          ? 1
          : 0,
    });
  };
  world.inks.forEach(({ papers, doses }, n) => {
    const paperSeen = papers.map(seen);
    paperSeen.forEach((paper, j) => colour(j === 0 ? 'white paper' : 'other paper', paper));
    pair('papers', paperSeen[0], paperSeen[1 + (n % 3)]);
    doses.forEach(({ onPapers, moreOnWhite }, d) => {
      const inkSeen = onPapers.map(seen);
      inkSeen.forEach((ink) => colour('ink', ink));
      pair('two doses', inkSeen[0], seen(moreOnWhite));
      pair('two papers', inkSeen[0], inkSeen[1 + (d % 3)]);
    });
  });
  return { seed, target: world.target, calibration, outcomes };
}

function table(worlds: readonly Tried[]): string {
  const leftOut = worlds.map((world) => world.calibration.leftOutMedian ?? 0);
  const rows = KINDS.map((kind) => {
    const own = worlds.flatMap((world) => world.outcomes.filter((outcome) => outcome.kind === kind));
    const covered = own.reduce((sum, outcome) => sum + outcome.covered, 0) / own.length;
    const errors = own.map((outcome) => outcome.error);
    return `| ${kind} | ${[0.5, 0.9, 0.95].map((q) => quantile(errors, q).toFixed(2)).join(' / ')} | ${covered.toFixed(3)} |`;
  });
  return [
    `Left-out median of the target itself: ${[0.5, 0.9].map((q) => quantile(leftOut, q).toFixed(2)).join(', 90th percentile ')}.`,
    `Models chosen: ${countsOf(worlds.map((world) => world.calibration.model))}.`,
    '',
    '| figure | error, ΔE00 | within ± 2u |',
    '| --- | --- | --- |',
    ...rows,
  ].join('\n');
}

function countsOf(names: readonly string[]): string {
  const kinds = [...new Set(names)];
  return kinds.map((kind) => `${kind} ${names.filter((name) => name === kind).length}`).join(', ');
}

function quantile(values: readonly number[], q: number): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(q * sorted.length))] ?? Number.NaN;
}
