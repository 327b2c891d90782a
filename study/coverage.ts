/** How often truth lies within ± 2u, and how wide u is for it: colours, differences within one scan, and differences between two. */
import type { Calibration } from '../analysis/calibrate/calibration.ts';
import { disagreement } from '../analysis/calibrate/disagreement.ts';
import { linearSignals } from '../analysis/calibrate/channelCurves.ts';
import { predictColour } from '../analysis/calibrate/colourFit.ts';
import { labMetric } from '../analysis/calibrate/colourMetric.ts';
import { fitCalibration } from '../analysis/calibrate/fit.ts';
import type { Common } from '../analysis/calibrate/sharedDoubt.ts';
import { colourUncertainty, differenceBetweenScans, differenceUncertainty } from '../analysis/calibrate/uncertainty.ts';
import { deltaE2000 } from '../analysis/colour/deltaE.ts';
import { type LabD50, labD50, xyzToLab } from '../analysis/colour/lab.ts';
import type { LabValue } from '../analysis/quantity.ts';
import { xyzOf } from './spectra.ts';
import { swabWorld, type Reflectance, type ScannerOfWorld, type SwabTarget, type SwabWorld } from './swabWorlds.ts';
import type { ScannerFamily } from './unlikeScanners.ts';

/** One figure against the truth. */
export interface Outcome {
  readonly kind: string;
  /** ΔE00 of a colour; of a difference how far its ΔE00 is off. */
  readonly error: number;
  /** Standard uncertainty in ΔE00. */
  readonly u: number;
  /** Share of its components within ± 2u. */
  readonly within: number;
}

interface SeenColour {
  readonly truth: LabD50;
  readonly found: LabD50;
}

export function colourOutcome(kind: string, truth: LabValue, found: LabValue, u: LabValue): Outcome {
  const inside = [0, 1, 2].filter((k) => Math.abs(found[k] - truth[k]) <= 2 * u[k]).length;
  return {
    kind,
    error: deltaE2000(labD50(...truth), labD50(...found)),
    u: lengthOf(labD50(...found), u),
    within: inside / 3,
  };
}

/** Standard uncertainties of L*, a*, b* as one length in ΔE00. */
function lengthOf(lab: LabD50, u: LabValue): number {
  const m = labMetric(lab);
  return Math.hypot(m[0] * u[0], m[4] * u[1], m[5] * u[2], m[7] * u[1], m[8] * u[2]);
}

export function differenceOutcome(kind: string, a: SeenColour, b: SeenColour, u: number): Outcome {
  const error = Math.abs(deltaE2000(a.found, b.found) - deltaE2000(a.truth, b.truth));
  return { kind, error, u, within: error <= 2 * u ? 1 : 0 };
}

/** Every figure of a world whose targets are calibrated as `read` says. */
export function worldOutcomes(
  world: SwabWorld,
  read: (scanner: ScannerOfWorld) => Calibration = calibrated,
): Outcome[] {
  const [one, two, three] = world.scanners.map((scanner) => seenBy(world, scanner, read(scanner)));
  const later = seenBy(world, world.later, read(world.later));
  return [
    ...[one, two, three].flatMap(withinOneScan),
    ...betweenScans('two scanners', one, two),
    ...betweenScans('two scanners', one, three),
    ...betweenScans('two scanners', two, three),
    ...betweenScans('two days', one, later),
  ];
}

export function calibrated({ seen }: ScannerOfWorld): Calibration {
  return fitCalibration(seen.readings, seen.reference);
}

interface Seen {
  readonly world: SwabWorld;
  readonly calibration: Calibration;
  readonly swabs: readonly SeenColour[];
  readonly papers: readonly SeenColour[];
}

function seenBy(world: SwabWorld, scanner: ScannerOfWorld, calibration: Calibration): Seen {
  const see = (r: Reflectance): SeenColour => {
    const [signal] = linearSignals([{ device: scanner.device(r), light: [1, 1, 1] }], calibration.curves);
    return { truth: xyzToLab(xyzOf(r)), found: xyzToLab(predictColour(calibration, signal)) };
  };
  return {
    world,
    calibration,
    swabs: world.swabs.map((swab) => see(swab.reflectance)),
    papers: world.papers.map(see),
  };
}

/** Swabs come paper by paper within an ink, five of a kind on each (swabWorlds.ts). */
const OF_A_PAPER = 5;
const OF_AN_INK = 3 * OF_A_PAPER;

function withinOneScan({ swabs, papers, calibration: c }: Seen): Outcome[] {
  const out: Outcome[] = [];
  const told = (a: SeenColour, b: SeenColour, kind: string, common: Common) =>
    out.push(differenceOutcome(kind, a, b, differenceUncertainty(a.found, b.found, c, common)));
  papers.forEach((p, j) => {
    out.push(colourOutcome('paper', p.truth, p.found, colourUncertainty(p.found, c, 'paper')));
    told(p, papers[(j + 1) % papers.length], 'two bare papers', 'two papers');
  });
  swabs.forEach((s, i) => {
    out.push(colourOutcome('ink', s.truth, s.found, colourUncertainty(s.found, c)));
    const nextDose = swabs[i + 1];
    if (i % OF_A_PAPER !== OF_A_PAPER - 1) told(s, nextDose, 'two doses, one paper', 'one paper');
    if (i % OF_AN_INK < 2 * OF_A_PAPER) told(s, swabs[i + OF_A_PAPER], 'one ink, two papers', 'two papers');
    if (i + OF_AN_INK < swabs.length) told(s, swabs[i + OF_AN_INK], 'two inks, one paper', 'two inks');
    told(s, papers[Math.floor((i % OF_AN_INK) / OF_A_PAPER)], 'ink against its paper', 'two inks');
  });
  return out;
}

function betweenScans(kind: string, a: Seen, b: Seen): Outcome[] {
  const disagrees = disagreement(a.calibration, b.calibration);
  const told = (from: SeenColour, to: SeenColour, what: string, common: Common, subject: 'ink' | 'paper' = 'ink') =>
    differenceOutcome(
      `${kind}: ${what}`,
      from,
      to,
      differenceBetweenScans(
        { lab: from.found, calibration: a.calibration, subject },
        { lab: to.found, calibration: b.calibration, subject },
        common,
        disagrees,
      ),
    );
  return [
    ...a.papers.map((p, j) => told(p, b.papers[j], 'the same paper', 'two papers', 'paper')),
    ...a.swabs.map((s, i) => told(s, b.swabs[i], 'the same ink', 'one paper')),
    ...a.swabs.flatMap((s, i) =>
      i % OF_A_PAPER < OF_A_PAPER - 1 ? [told(s, b.swabs[i + 1], 'two doses', 'one paper')] : [],
    ),
    ...a.swabs.flatMap((s, i) =>
      i + OF_AN_INK < a.swabs.length ? [told(s, b.swabs[i + OF_AN_INK], 'two inks', 'two inks')] : [],
    ),
  ];
}

export function outcomesOver(seeds: readonly number[], family: ScannerFamily, target: SwabTarget): Outcome[] {
  return seeds.flatMap((seed) => worldOutcomes(swabWorld(seed, family, target)));
}

export function outcomeTable(outcomes: readonly Outcome[]): string {
  const kinds = [...new Set(outcomes.map(({ kind }) => kind))];
  return [
    '| figure | n | median error | 90th percentile | rms error | rms u | within ± 2u |',
    '| --- | --- | --- | --- | --- | --- | --- |',
    ...kinds.map((kind) => {
      const own = outcomes.filter((outcome) => outcome.kind === kind);
      const errors = own.map(({ error }) => error).sort((a, b) => a - b);
      const rms = (of: (o: Outcome) => number) => Math.sqrt(own.reduce((sum, o) => sum + of(o) ** 2, 0) / own.length);
      const share = (100 * own.reduce((sum, { within }) => sum + within, 0)) / own.length;
      const at = (q: number) => errors[Math.floor(q * (errors.length - 1))].toFixed(2);
      return `| ${kind} | ${own.length} | ${at(0.5)} | ${at(0.9)} | ${rms((o) => o.error).toFixed(2)} | ${rms((o) => o.u).toFixed(2)} | ${share.toFixed(1)} % |`;
    }),
  ].join('\n');
}
