/**
 * What a card that was taught is worth: inks told through it, by the scanner that taught it and by another, beside the same
 * inks told through the known target itself. Scans are rendered whole: known target (six varied colorants, instrument's
 * values) and printed card (four colorants) on one glass.
 */
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Calibration, PointMm, TargetReference } from '../analysis/calibrate/calibration.ts';
import { WETLINE_CARD } from '../analysis/calibrate/card/plan.ts';
import { predictColour } from '../analysis/calibrate/colourFit.ts';
import { lightAt as lightSeen } from '../analysis/calibrate/flatField.ts';
import { curveFunction } from '../analysis/calibrate/toneCurve.ts';
import { colourUncertainty } from '../analysis/calibrate/uncertainty.ts';
import { deltaE2000 } from '../analysis/colour/deltaE.ts';
import { type LabD50, xyzToLab } from '../analysis/colour/lab.ts';
import { seededRandom } from '../analysis/seededRandom.ts';
import { triple } from '../analysis/triple.ts';
import { calibrateTarget } from '../electron/jobs/calibrateTarget.ts';
import { teachFromScans } from '../electron/jobs/teach.ts';
import { filmReflectance } from '../sample-scans/generator/film.ts';
import { drawInk as drawSampleInk } from '../sample-scans/generator/ink.ts';
import { drawPaper } from '../sample-scans/generator/paper.ts';
import { drawScanner, lightAt, type Scanner, toneValue, toSignal } from '../sample-scans/generator/scanner.ts';
import { normal } from './draw.ts';
import { realDyes } from './realDyes.ts';
import { drawInk, inkOnPaper, mixDyes } from './simulatedColours.ts';
import { xyzOf } from './spectra.ts';
import { asTask, CARD_MM, drawPieces, KNOWN_MM, scanTogether } from './teachBench.ts';

const INKS = 12;
const DOSES = 3;
const DPI = 150;
const CARD_TURNED = 180.7;

type Reflectance = Float64Array;

interface Outcome {
  readonly error: number;
  /** Share of the three components within ± 2u. */
  readonly covered: number;
  readonly u: number;
}

const WAYS = [
  'card’s patches as taught, one scan',
  'card’s patches as taught, two scans',
  'inks: known target, same scanner',
  'inks: taught card, same scanner',
  'inks: known target, other scanner',
  'inks: taught card, other scanner',
] as const;
const PAIRS = ['both through known targets', 'both through the taught card'] as const;
type Outcomes = Map<(typeof WAYS)[number] | (typeof PAIRS)[number], Outcome[]>;

export async function teachStudy(firstSeed: number, seeds: number): Promise<string> {
  const outcomes: Outcomes = new Map();
  const folder = await mkdtemp(join(tmpdir(), 'wetline-teach-'));
  const failures: string[] = [];
  try {
    for (let seed = firstSeed; seed < firstSeed + seeds; seed++) {
      await taughtAndTried(seed, folder, outcomes).catch((error: unknown) =>
        failures.push(`seed ${seed}: ${String(error)}`),
      );
    }
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
  return page(outcomes, firstSeed, seeds, failures);
}

async function taughtAndTried(seed: number, folder: string, outcomes: Outcomes): Promise<void> {
  const note = (way: (typeof WAYS)[number] | (typeof PAIRS)[number], outcome: Outcome): void => {
    outcomes.set(way, [...(outcomes.get(way) ?? []), outcome]);
  };
  const pieces = drawPieces(seed);
  const [scanner, other] = [drawScanner(seed), drawScanner(seed + 500_000)];
  const layout = pieces.known.layout;
  const scan = async (name: string, by: Scanner, number: number, turned = false) => {
    const glass = {
      dpi: DPI,
      seed: 10 * seed + number,
      ...(turned && { cardAt: { centreMm: CARD_MM, angleDeg: CARD_TURNED } }),
    };
    return asTask(folder, name, scanTogether(pieces, by, glass), layout, pieces.reference);
  };
  const first = await scan('first', scanner, 0);
  const second = await scan('second', scanner, 1, true);
  const card = WETLINE_CARD.layout;
  const { reference } = await teachFromScans({ scans: [first], card });
  const twice = await teachFromScans({ scans: [first, second], card });
  patches(reference).forEach((outcome) => note('card’s patches as taught, one scan', outcome));
  patches(twice.reference).forEach((outcome) => note('card’s patches as taught, two scans', outcome));

  const inks = drawInks(seed);
  const told = async (by: Scanner, number: number) => {
    const task = await scan('later', by, number);
    const known = await calibrateTarget(task);
    const taught = await calibrateTarget({ ...task, layout: card, reference });
    return {
      known: inks.map((r) => tell(r, by, known.calibration, KNOWN_MM)),
      taught: inks.map((r) => tell(r, by, taught.calibration, CARD_MM)),
      calibrations: { known: known.calibration, taught: taught.calibration },
    };
  };
  const same = await told(scanner, 2);
  const elsewhere = await told(other, 3);
  inks.forEach((reflectance, i) => {
    const truth = xyzToLab(xyzOf(reflectance));
    note('inks: known target, same scanner', judged(truth, same.known[i], same.calibrations.known));
    note('inks: taught card, same scanner', judged(truth, same.taught[i], same.calibrations.taught));
    note('inks: known target, other scanner', judged(truth, elsewhere.known[i], elsewhere.calibrations.known));
    note('inks: taught card, other scanner', judged(truth, elsewhere.taught[i], elsewhere.calibrations.taught));
    for (const [pair, way] of [
      [PAIRS[0], 'known'],
      [PAIRS[1], 'taught'],
    ] as const) {
      const [a, b] = [same[way][i], elsewhere[way][i]];
      const [ua, ub] = [
        colourUncertainty(a, same.calibrations[way]),
        colourUncertainty(b, elsewhere.calibrations[way]),
      ];
      const u = triple((k) => Math.hypot(ua[k], ub[k]));
      note(pair, { error: deltaE2000(a, b), covered: within(a, b, u), u: Math.hypot(...u) });
    }
  });

  function patches(taught: TargetReference): Outcome[] {
    return card.patches.map(({ id }, i) => {
      const truth = xyzToLab(xyzOf(pieces.printed.patches[i]));
      const { lab, u } = taught.patches.get(id)!;
      return { error: deltaE2000(truth, lab), covered: within(truth, lab, u!), u: Math.hypot(...u!) };
    });
  }
}

/** Half of them the sample scans' invented inks, half mixtures of real dyes; doses log-normal, on white and on ivory. */
function drawInks(seed: number): Reflectance[] {
  const random = seededRandom(seed * 7919 + 29);
  const dyes = realDyes();
  return Array.from({ length: INKS }, (_, n) => {
    const paper = drawPaper(100 * seed + n, n % 4 < 2 ? 'brightWhite' : 'ivory', 'written').reflectance;
    const sample = drawSampleInk(100 * seed + n);
    const real = drawInk(mixDyes(dyes, random), random);
    return Array.from({ length: DOSES }, () => {
      const dose = Math.exp(1.2 * normal(random));
      return n % 2 === 0
        ? paper.map((r, l) => filmReflectance(r, dose * sample.absorption[l], dose * sample.scatter))
        : inkOnPaper(real, dose, paper);
    });
  }).flat();
}

/** An ink at a place of the glass, without noise: what is left is the calibration's. */
function tell(reflectance: Reflectance, scanner: Scanner, calibration: Calibration, placeMm: PointMm): LabD50 {
  const signal = toSignal(scanner, reflectance);
  const { flatField, curves } = calibration;
  const linear = triple((c) => {
    const lit = signal[c] * lightAt(scanner.light, c, placeMm[0], placeMm[1]);
    const device = toneValue(scanner.tone[c], (lit + scanner.flare[c]) / (1 + scanner.flare[c]));
    return curveFunction(curves[c])(device) / (flatField === null ? 1 : lightSeen(flatField, c, placeMm));
  });
  return xyzToLab(predictColour(calibration, linear));
}

function judged(truth: LabD50, found: LabD50, calibration: Calibration): Outcome {
  const u = colourUncertainty(found, calibration);
  return { error: deltaE2000(truth, found), covered: within(truth, found, u), u: Math.hypot(...u) };
}

function within(a: LabD50, b: LabD50, u: readonly number[]): number {
  return [0, 1, 2].filter((k) => Math.abs(a[k] - b[k]) <= 2 * u[k]).length / 3;
}

function page(outcomes: Outcomes, firstSeed: number, seeds: number, failures: readonly string[]): string {
  const row = (way: (typeof WAYS)[number] | (typeof PAIRS)[number]): string => {
    const all = outcomes.get(way) ?? [];
    const errors = all.map((o) => o.error);
    const covered = all.reduce((sum, o) => sum + o.covered, 0) / all.length;
    const figures = [0.5, 0.9, 0.95].map((q) => quantile(errors, q).toFixed(2)).join(' / ');
    const u = quantile(
      all.map((o) => o.u),
      0.5,
    ).toFixed(1);
    return `| ${way} | ${all.length} | ${figures} | ${(100 * covered).toFixed(1)} % | ${u} |`;
  };
  const head = [
    '| | figures | error, ΔE00: median / 90 % / 95 % | components within ± 2u | median length of u, ΔE*ab |',
    '| --- | --- | --- | --- | --- |',
  ];
  return [
    '# Teaching: what the printed card is worth',
    '',
    `Made by \`npm run study teach ${seeds}\` (\`study/teach.ts\`) on seeds from ${firstSeed}, which nothing was tuned on. Every seed has a known target of`,
    'six varied colorants with an instrument’s values, this program’s card from an invented printer (cyan, magenta, yellow and black of invented',
    `spectra, more or less of the greys in black, a bright white paper), and two invented scanners. Both pieces lie on one glass and are rendered whole at ${DPI} dpi,`,
    'with uneven light, blur, noise and the texture of both papers. The first scanner teaches the card. Then, with the pieces moved, each of the two scanners',
    'is calibrated once by the known target and once by the taught card alone, and is asked for inks: half invented, half mixtures of real dyes, doses log-normal, on white and',
    'ivory paper.',
    '',
    '## Against the truth',
    '',
    ...head,
    ...WAYS.map(row),
    '',
    '## The same ink by two scanners',
    '',
    ...head,
    ...PAIRS.map(row),
    '',
    failures.length === 0
      ? 'No scan failed.'
      : `${failures.length} of ${seeds} seeds failed:\n\n${failures.map((f) => `- ${f}`).join('\n')}`,
  ].join('\n');
}

function quantile(values: readonly number[], q: number): number {
  const sorted = values.toSorted((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(q * sorted.length))] ?? Number.NaN;
}
