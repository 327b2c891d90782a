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
import { normal, seededRandom } from '../analysis/seededRandom.ts';
import { triple } from '../analysis/triple.ts';
import { calibrateTarget } from '../electron/jobs/calibrateTarget.ts';
import { teachFromScans } from '../electron/jobs/teach.ts';
import { filmReflectance } from '../sample-scans/generator/film.ts';
import { drawInk as drawSampleInk } from '../sample-scans/generator/ink.ts';
import { drawPaper } from '../sample-scans/generator/paper.ts';
import { drawScanner, lightAt, type Scanner, toneValue, toSignal } from '../sample-scans/generator/scanner.ts';
import { realDyes } from './realDyes.ts';
import { drawInk, inkOnPaper, mixDyes } from './simulatedColours.ts';
import { xyzOf } from './spectra.ts';
import { asTask, CARD_MM, drawPieces, KNOWN_MM, scanTogether } from './teachBench.ts';

const INKS = 12;
const DOSES = 3;
const DPI = 150;
const CARD_TURNED = 180.7;

type Reflectance = Float64Array;

const WAYS = [
  'card’s patches as taught, one scan',
  'card’s patches as taught, two scans',
  'inks: known target, same scanner',
  'inks: taught card, same scanner',
  'inks: known target, other scanner',
  'inks: taught card, other scanner',
] as const;
const PAIRS = ['both through known targets', 'both through the taught card'] as const;
type Kind = (typeof WAYS)[number] | (typeof PAIRS)[number] | 'failed';
/** Rendering and teaching a second scan takes as long as all else: on every fourth seed. */
const TWICE_EVERY = 4;

export interface TeachRow {
  readonly kind: Kind;
  /** ΔE00. */
  readonly error: number;
  /** Share of the three components within ± 2u. */
  readonly covered: number;
  /** Length of u in ΔE*ab. */
  readonly u: number;
  /** Why a seed failed. */
  readonly words?: string;
}

export async function teachRows(seed: number): Promise<TeachRow[]> {
  const folder = await mkdtemp(join(tmpdir(), 'wetline-teach-'));
  try {
    return await taughtAndTried(seed, folder);
  } catch (error) {
    // A scan that is refused is a result, too.
    return [{ kind: 'failed', error: Number.NaN, covered: 0, u: Number.NaN, words: `seed ${seed}: ${String(error)}` }];
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

async function taughtAndTried(seed: number, folder: string): Promise<TeachRow[]> {
  const rows: TeachRow[] = [];
  const pieces = drawPieces(seed);
  const [scanner, other] = [drawScanner(seed), drawScanner(seed + 500_000)];
  const layout = pieces.known.layout;
  const card = WETLINE_CARD.layout;
  const scan = async (name: string, by: Scanner, number: number, turned = false) => {
    const cardAt = turned ? { cardAt: { centreMm: CARD_MM, angleDeg: CARD_TURNED } } : {};
    const raster = scanTogether(pieces, by, { dpi: DPI, seed: 10 * seed + number, ...cardAt });
    return asTask(folder, name, raster, layout, pieces.reference);
  };
  const notePatches = (kind: Kind, taught: TargetReference): void =>
    card.patches.forEach(({ id }, i) => {
      const truth = xyzToLab(xyzOf(pieces.printed.patches[i]));
      const { lab, u } = taught.patches.get(id)!;
      rows.push({ kind, error: deltaE2000(truth, lab), covered: within(truth, lab, u!), u: Math.hypot(...u!) });
    });

  const first = await scan('first', scanner, 0);
  const { reference } = await teachFromScans({ scans: [first], card });
  notePatches('card’s patches as taught, one scan', reference);
  if (seed % TWICE_EVERY === 0) {
    const scans = [first, await scan('second', scanner, 1, true)];
    notePatches('card’s patches as taught, two scans', (await teachFromScans({ scans, card })).reference);
  }

  const inks = drawInks(seed);
  const later = async (by: Scanner, number: number) => {
    const task = await scan('later', by, number);
    const { calibration: known } = await calibrateTarget(task);
    const { calibration: taught } = await calibrateTarget({ ...task, layout: card, reference });
    return {
      known: { calibration: known, labs: inks.map((r) => tell(r, by, known, KNOWN_MM)) },
      taught: { calibration: taught, labs: inks.map((r) => tell(r, by, taught, CARD_MM)) },
    };
  };
  const same = await later(scanner, 2);
  const elsewhere = await later(other, 3);
  inks.forEach((reflectance, i) => {
    const truth = xyzToLab(xyzOf(reflectance));
    for (const [kind, { labs, calibration }] of [
      ['inks: known target, same scanner', same.known],
      ['inks: taught card, same scanner', same.taught],
      ['inks: known target, other scanner', elsewhere.known],
      ['inks: taught card, other scanner', elsewhere.taught],
    ] as const) {
      const u = colourUncertainty(labs[i], calibration);
      const error = deltaE2000(truth, labs[i]);
      rows.push({ kind, error, covered: within(truth, labs[i], u), u: Math.hypot(...u) });
    }
    for (const [kind, way] of [
      [PAIRS[0], 'known'],
      [PAIRS[1], 'taught'],
    ] as const) {
      const [a, b] = [same[way], elsewhere[way]];
      const [ua, ub] = [a, b].map(({ labs, calibration }) => colourUncertainty(labs[i], calibration));
      const u = triple((k) => Math.hypot(ua[k], ub[k]));
      const error = deltaE2000(a.labs[i], b.labs[i]);
      rows.push({ kind, error, covered: within(a.labs[i], b.labs[i], u), u: Math.hypot(...u) });
    }
  });
  return rows;
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

function within(a: LabD50, b: LabD50, u: readonly number[]): number {
  return [0, 1, 2].filter((k) => Math.abs(a[k] - b[k]) <= 2 * u[k]).length / 3;
}

export function teachPage(rows: readonly TeachRow[], firstSeed: number, seeds: number): string {
  const line = (kind: Kind): string => {
    const own = rows.filter((row) => row.kind === kind);
    const errors = own.map((row) => row.error);
    const covered = own.reduce((sum, row) => sum + row.covered, 0) / own.length;
    const figures = [0.5, 0.9, 0.95].map((q) => quantile(errors, q).toFixed(2)).join(' / ');
    const u = quantile(
      own.map((row) => row.u),
      0.5,
    ).toFixed(1);
    return `| ${kind} | ${own.length} | ${figures} | ${(100 * covered).toFixed(1)} % | ${u} |`;
  };
  const failed = rows.filter((row) => row.kind === 'failed');
  const head = [
    '|  | figures | error, ΔE00: median / 90 % / 95 % | components within ± 2u | median length of u, ΔE\\*ab |',
    '| --- | --- | --- | --- | --- |',
  ];
  return [
    '# Teaching: what the printed card is worth',
    '',
    `Made by \`npm run study teach ${seeds}\` (\`study/teach.ts\`) on seeds from ${firstSeed}, which nothing was tuned on. Each has a known target of six`,
    'varied colorants with an instrument’s values, this program’s card from an invented printer (cyan, magenta, yellow and black of invented spectra, more',
    'or less of the greys in black, a bright white paper), and two invented scanners. Both pieces lie on one glass and are rendered whole at',
    `${DPI} dpi, with uneven light, blur, noise and the texture of both papers. The first scanner teaches the card. Then, with the pieces moved, each of`,
    'the two scanners is calibrated once by the known target and once by the taught card alone, and tells inks: half invented, half mixtures of',
    'real dyes, doses log-normal (median 1, log-sd 1.2), on white and ivory paper. Their signals are exact, so that what is off is the calibration’s.',
    '',
    '## Against the truth',
    '',
    ...head,
    ...WAYS.map(line),
    '',
    '## The same ink by two scanners',
    '',
    'u of a difference is here the quadrature of both, as if nothing were common to two scanners.',
    '',
    ...head,
    ...PAIRS.map(line),
    '',
    failed.length === 0 ? 'No scan was refused.' : `${failed.length} of ${seeds} seeds failed:`,
    ...(failed.length === 0 ? [] : ['', ...failed.map((row) => `- ${row.words ?? ''}`)]),
  ].join('\n');
}

function quantile(values: readonly number[], q: number): number {
  const sorted = values.toSorted((a, b) => a - b);
  return sorted[Math.min(sorted.length - 1, Math.floor(q * sorted.length))] ?? Number.NaN;
}
