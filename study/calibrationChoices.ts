/** What flatters the chart and what helps inks: every candidate, and both ways to draw tone curves, on the same scanners. */
import { judgeCandidates, simplestGood, type Candidate } from '../analysis/calibrate/candidates.ts';
import {
  fitOwnCurves,
  fitSharedCurve,
  linearSignals,
  type ChannelCurves,
  type PatchSample,
} from '../analysis/calibrate/channelCurves.ts';
import { predictColour } from '../analysis/calibrate/colourFit.ts';
import { deltaE2000 } from '../analysis/colour/deltaE.ts';
import { labToXyz, xyzToLab } from '../analysis/colour/lab.ts';
import type { CalibrationWorld } from './calibrationWorlds.ts';
import { xyzOf } from './spectra.ts';

const RIDGES = [0, 0.0001, 0.001, 0.01, 0.1];

interface Tally {
  readonly leftOut: number[];
  readonly ink: number[];
  readonly greyPaper: number[];
}

export function choicesTables(worlds: readonly CalibrationWorld[]): string {
  const byCandidate = new Map<string, Tally>();
  const byCurves = new Map<string, Tally>();
  for (const world of worlds) {
    const patches = samplesOf(world);
    const flat = world.target === 'colorants';
    for (const [name, draw] of [
      ['own curves', fitOwnCurves],
      ['one shared curve', fitSharedCurve],
    ] as const) {
      const candidates = judgeCandidates(patches, draw, RIDGES);
      const curves = draw(patches);
      const chosen = simplestGood(
        candidates.filter((candidate) => candidate.ridge > 0 || candidate.model === 'linear'),
      );
      tally(byCurves, `${flat ? 'flat greys' : 'greys of three dyes'}, ${name}`, world, chosen, curves);
      if ((draw === fitOwnCurves) !== flat) continue;
      for (const candidate of candidates)
        tally(byCandidate, `${candidate.model}, ridge ${candidate.ridge}`, world, candidate, curves);
    }
  }
  return [
    '## What flatters the chart',
    '',
    `The same ${worlds.length} scanners for every row. Left-out mean of the target, then inks and grey papers, median / 90th percentile, ΔE00.`,
    '',
    table(byCandidate),
    '',
    table(byCurves),
    '',
  ].join('\n');
}

function samplesOf(world: CalibrationWorld): PatchSample[] {
  return world.readings.map(({ id, grey, device }) => ({
    id,
    grey,
    device,
    light: [1, 1, 1],
    xyz: labToXyz(world.reference.patches.get(id)!.lab),
  }));
}

function tally(
  into: Map<string, Tally>,
  name: string,
  world: CalibrationWorld,
  candidate: Candidate,
  { curves }: ChannelCurves,
): void {
  const own = into.get(name) ?? { leftOut: [], ink: [], greyPaper: [] };
  into.set(name, own);
  own.leftOut.push(candidate.leftOutMean);
  const error = (r: readonly number[] | Float64Array): number => {
    const [signal] = linearSignals([{ device: world.device(r), light: [1, 1, 1] }], curves);
    return deltaE2000(xyzToLab(xyzOf(r)), xyzToLab(predictColour(candidate.fit, signal)));
  };
  for (const { papers, doses } of world.inks) {
    own.greyPaper.push(error(papers[2]));
    for (const { onPapers } of doses) own.ink.push(error(onPapers[0]), error(onPapers[1]));
  }
}

function table(tallies: ReadonlyMap<string, Tally>): string {
  const rows = [...tallies].sort(([a], [b]) => a.localeCompare(b, 'en'));
  return [
    '| | left out | inks | grey paper |',
    '| --- | --- | --- | --- |',
    ...rows.map(([name, { leftOut, ink, greyPaper }]) => {
      const mean = leftOut.reduce((sum, value) => sum + value, 0) / leftOut.length;
      return `| ${name} | ${mean.toFixed(2)} | ${spread(ink)} | ${spread(greyPaper)} |`;
    }),
  ].join('\n');
}

function spread(values: readonly number[]): string {
  const sorted = [...values].sort((a, b) => a - b);
  return [0.5, 0.9].map((q) => sorted[Math.floor(q * (sorted.length - 1))].toFixed(2)).join(' / ');
}
