/**
 * The same swabs before three unlike scanners, by spectra alone: what study/scanners.ts asks of hundreds of seeds.
 * A swab here is one as the sample scans' generator wipes it (sample-scans/generator/swab.ts, pagePlan.ts): an even one at 1.2
 * times the ink's own strength, a graded one from 0.3 to 2.4 times, streaks of 10 % in both; its colour is the mean of the light.
 */
import type { PatchReading, TargetReference } from '../analysis/calibrate/calibration.ts';
import { labD50, xyzToLab } from '../analysis/colour/lab.ts';
import { normal, seededRandom } from '../analysis/seededRandom.ts';
import { drawCard } from '../sample-scans/generator/card.ts';
import { measuredPatches } from '../sample-scans/generator/cgats.ts';
import { filmReflectance } from '../sample-scans/generator/film.ts';
import { drawInk as drawSampleInk } from '../sample-scans/generator/ink.ts';
import { drawPaper as drawSamplePaper, type PaperClass } from '../sample-scans/generator/paper.ts';
import { realDyes } from './realDyes.ts';
import { drawTarget, mixDyes, TARGET_KINDS, TARGET_SIZES } from './simulatedColours.ts';
import { WAVELENGTHS, xyzOf } from './spectra.ts';
import { anotherDay, deviceOf, threeScanners, type ScannerFamily } from './unlikeScanners.ts';

export type Reflectance = readonly number[] | Float64Array;
export type Triple = readonly [number, number, number];

export const SWAB_TARGETS = ['card', ...TARGET_KINDS] as const;
export type SwabTarget = (typeof SWAB_TARGETS)[number];

export interface SeenTarget {
  readonly readings: readonly PatchReading[];
  readonly reference: TargetReference;
}

export interface ScannerOfWorld {
  readonly name: string;
  readonly device: (reflectance: Reflectance) => Triple;
  readonly seen: SeenTarget;
}

export interface Swab {
  /** From 0, in the world. */
  readonly ink: number;
  readonly inkKind: 'sample ink' | 'real dyes';
  readonly paper: 'white' | 'ivory' | 'coloured';
  readonly kind: 'even' | 'graded' | 'thin' | 'middle' | 'thick';
  /** Mean over its area. */
  readonly reflectance: Float64Array;
  /** Of the bare paper. */
  readonly ground: Reflectance;
}

export interface SwabWorld {
  readonly seed: number;
  readonly scanners: readonly ScannerOfWorld[];
  /** The first scanner on another day, with the target scanned anew. */
  readonly later: ScannerOfWorld;
  readonly swabs: readonly Swab[];
  readonly papers: readonly Reflectance[];
  /** Of every scanner's target, with what the instrument returned. */
  readonly patches: readonly Patch[];
}

const INKS = 8;
const STREAKS = 0.1;
const COLOURED: readonly PaperClass[] = ['yellow', 'green', 'grey'];
const dyes = realDyes();

export function swabWorld(seed: number, family: ScannerFamily, target: SwabTarget): SwabWorld {
  const random = seededRandom(seed * 6007 + 29);
  const patches = targetPatches(seed, target, random);
  const three = threeScanners(seed, family);
  const days = [...three, { name: `${three[0].name}, another day`, scanner: anotherDay(three[0].scanner, seed) }];
  const [first, second, third, later] = days.map(({ name, scanner }): ScannerOfWorld => {
    const device = (r: Reflectance): Triple => deviceOf(scanner, r);
    return { name, device, seen: seenTarget(patches, device, random) };
  });
  const classes = ['brightWhite', 'ivory', COLOURED[seed % 3]] as const;
  const papers = classes.map((kind, j) => drawSamplePaper(seed, kind, `p${j}`).reflectance);
  const swabs = Array.from({ length: INKS }, (_, n) => n % 2 === 0).flatMap((sample, n) => {
    const ink = sample ? drawSampleInk(seed * 100 + n) : null;
    const k = ink?.absorption ?? mixDyes(dyes, random);
    const scatter = ink?.scatter ?? 0.02 * Math.exp(0.6 * normal(random));
    const strength = ink?.strength ?? 1.3 * Math.exp(0.25 * normal(random));
    return papers.flatMap((ground, j): Swab[] => {
      const wet = strength * Math.exp(0.08 * normal(random));
      const lay = (dose: number) =>
        Float64Array.from(ground, (r, l) => filmReflectance(r, dose * k[l], dose * scatter));
      const mean = (from: number, to: number) =>
        meanOf(
          Array.from({ length: 12 }, (_, i) =>
            lay(wet * from * (to / from) ** ((i + 0.5) / 12) * Math.exp(STREAKS * Math.SQRT2 * (i % 2 === 0 ? 1 : -1))),
          ),
        );
      const of = (kind: Swab['kind'], from: number, to: number): Swab => ({
        ink: n,
        inkKind: sample ? 'sample ink' : 'real dyes',
        paper: (['white', 'ivory', 'coloured'] as const)[j],
        kind,
        reflectance: mean(from, to),
        ground,
      });
      return [
        of('even', 1.25, 1.15),
        of('graded', 0.3, 2.4),
        of('thin', 0.3, 0.6),
        of('middle', 0.6, 1.2),
        of('thick', 1.2, 2.4),
      ];
    });
  });
  return { seed, scanners: [first, second, third], later, swabs, papers, patches };
}

export interface Patch {
  readonly id: string;
  readonly grey: boolean;
  readonly reflectance: Reflectance;
  readonly measured: Reflectance;
}

export function targetPatches(seed: number, target: SwabTarget, random: () => number): Patch[] {
  if (target !== 'card')
    return drawTarget(target, TARGET_SIZES.card, random).map((patch) => ({ ...patch, measured: patch.reflectance }));
  const card = drawCard(seed);
  const measured = measuredPatches(seed, card);
  return card.layout.patches.map(({ id, grey }, i) => ({
    id,
    grey: grey ?? false,
    reflectance: card.patches[i],
    measured: measured[i],
  }));
}

/** Of a patch's mean, relative. */
const READING_NOISE = 0.0005;

export function seenTarget(
  patches: readonly Patch[],
  device: ScannerOfWorld['device'],
  random: () => number,
): SeenTarget {
  const readings = patches.map(({ id, grey, reflectance }): PatchReading => {
    const [r, g, b] = device(reflectance).map((v) => v * (1 + READING_NOISE * normal(random)));
    return { id, grey, device: [r, g, b], sd: [0, 0, 0], pixels: 1000, clippedShare: 0, centreMm: [0, 0] };
  });
  const values = patches.map(({ id, measured }) => {
    const [L, a, b] = xyzToLab(xyzOf(measured));
    return [id, { lab: labD50(L, a, b) }] as const;
  });
  return { readings, reference: { patches: new Map(values) } };
}

function meanOf(list: readonly Float64Array[]): Float64Array {
  return Float64Array.from(WAVELENGTHS, (_, l) => list.reduce((sum, r) => sum + r[l], 0) / list.length);
}
