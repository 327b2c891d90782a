/** Worlds to calibrate in: a scanner, a target with known values, and spectra to be told from its signals. */
import type { PatchReading, TargetReference } from '../analysis/calibrate/calibration.ts';
import { labD50, xyzToLab } from '../analysis/colour/lab.ts';
import { normal, seededRandom } from '../analysis/seededRandom.ts';
import { drawCard } from '../sample-scans/generator/card.ts';
import { measuredPatches } from '../sample-scans/generator/cgats.ts';
import { filmReflectance } from '../sample-scans/generator/film.ts';
import { drawInk as drawSampleInk } from '../sample-scans/generator/ink.ts';
import { drawPaper as drawSamplePaper } from '../sample-scans/generator/paper.ts';
import { drawScanner as drawSampleScanner, toneValue, toSignal } from '../sample-scans/generator/scanner.ts';
import { between } from './draw.ts';
import {
  drawAbsorption,
  drawInk,
  drawPaper,
  drawTarget,
  inkOnPaper,
  mixDyes,
  PAPER_KINDS,
  TARGET_KINDS,
  TARGET_SIZES,
  type Spectrum,
  type TargetKind,
} from './simulatedColours.ts';
import { realDyes } from './realDyes.ts';
import { drawScanner, signalOf } from './simulatedScanner.ts';
import { xyzOf } from './spectra.ts';

export type Reflectance = readonly number[] | Float64Array;
type Triple = readonly [number, number, number];

export interface CalibrationWorld {
  readonly target: TargetKind | 'sample card';
  readonly readings: readonly PatchReading[];
  readonly reference: TargetReference;
  /** The target's true spectra, in the order of the readings. */
  readonly spectra: readonly Reflectance[];
  readonly device: (reflectance: Reflectance) => Triple;
  /** Each ink at five doses on four papers (the first one white), and once more of each dose on the white. */
  readonly inks: readonly InkCase[];
}

export interface InkCase {
  readonly papers: readonly Reflectance[];
  readonly doses: readonly { readonly onPapers: readonly Reflectance[]; readonly moreOnWhite: Reflectance }[];
}

const INKS = 20;
const DOSES = 5;
/** Light noise: of a patch's mean, relative, and of the reference, in L*, a*, b*. */
const READING_NOISE = 0.0003;
const REFERENCE_NOISE = 0.06;
const SIZES = ['large', 'card', 'small'] as const;

/** This study's own scanners, before the three kinds of target in three sizes. */
export function drawnWorld(seed: number): CalibrationWorld {
  const random = seededRandom(seed * 7919 + 13);
  const scanner = drawScanner(random);
  const target = TARGET_KINDS[seed % 3];
  const patches = drawTarget(target, TARGET_SIZES[SIZES[Math.floor(seed / 3) % 3]], random);
  const device = (r: Reflectance): Triple => scanner.encode(signalOf(scanner, r));
  return { target, ...known(patches, device, REFERENCE_NOISE, random), device, inks: drawInks(seed, random) };
}

/** The scanners and the card that the sample scans are rendered with. */
export function sampleWorld(seed: number): CalibrationWorld {
  const random = seededRandom(seed * 7919 + 13);
  const scanner = drawSampleScanner(seed);
  const card = drawCard(seed);
  const measured = measuredPatches(seed, card);
  const device = (r: Reflectance): Triple => {
    const [x, y, z] = toSignal(scanner, r).map((v, c) => toneValue(scanner.tone[c], v + scanner.flare[c]));
    return [x, y, z];
  };
  const patches = card.layout.patches.map(({ id, grey }, i) => ({
    id,
    grey: grey ?? false,
    reflectance: card.patches[i],
    measured: measured[i],
  }));
  return { target: 'sample card', ...known(patches, device, 0, random), device, inks: drawInks(seed, random) };
}

function known(
  patches: readonly { id: string; grey: boolean; reflectance: Reflectance; measured?: Reflectance }[],
  device: (r: Reflectance) => Triple,
  noise: number,
  random: () => number,
): Pick<CalibrationWorld, 'readings' | 'reference' | 'spectra'> {
  const readings = patches.map(({ id, grey, reflectance }): PatchReading => {
    const [r, g, b] = device(reflectance).map((v) => v * (1 + READING_NOISE * normal(random)));
    return { id, grey, device: [r, g, b], sd: [0, 0, 0], pixels: 1000, clippedShare: 0, centreMm: [0, 0] };
  });
  const values = patches.map(({ id, reflectance, measured }) => {
    const [L, a, b] = xyzToLab(xyzOf(measured ?? reflectance)).map((v) => v + noise * normal(random));
    return [id, { lab: labD50(L, a, b) }] as const;
  });
  const spectra = patches.map(({ reflectance }) => reflectance);
  return { readings, reference: { patches: new Map(values) }, spectra };
}

const dyes = realDyes();

/** In turn an ink of the sample scans, a mixture of real dyes, one of lobes, and real dyes again; papers of either kind. */
function drawInks(seed: number, random: () => number): InkCase[] {
  return Array.from({ length: INKS }, (_, n) => {
    const lay = n % 4 === 0 ? sampleInk(seed * 100 + n) : drawnInk(n % 2 === 1, random);
    const papers =
      n % 2 === 1
        ? PAPER_KINDS.map((kind) => drawPaper(kind, random))
        : (['brightWhite', 'ivory', 'grey', 'yellow'] as const).map(
            (kind, j) => drawSamplePaper(seed * 100 + n, kind, `p${j}`).reflectance,
          );
    const doses = Array.from({ length: DOSES }, () => {
      const dose = Math.exp(1.2 * normal(random));
      const ratio = Math.exp(between(random, Math.log(1.15), Math.log(4)));
      return { onPapers: papers.map((paper) => lay(dose, paper)), moreOnWhite: lay(dose * ratio, papers[0]) };
    });
    return { papers, doses };
  });
}

function drawnInk(real: boolean, random: () => number): (dose: number, paper: Reflectance) => Float64Array {
  const k: Spectrum = real ? mixDyes(dyes, random) : drawAbsorption(random);
  const ink = drawInk(k, random);
  return (dose, paper) => inkOnPaper(ink, dose, paper);
}

function sampleInk(seed: number): (dose: number, paper: Reflectance) => Float64Array {
  const ink = drawSampleInk(seed);
  return (dose, paper) =>
    Float64Array.from(paper, (r, l) => filmReflectance(r, dose * ink.absorption[l], dose * ink.scatter));
}
