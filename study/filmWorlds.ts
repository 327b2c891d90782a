/** Benches for the film fit without pixels: a scanner, a target, and inks at many doses on papers, as linear signals. */
import type { Calibration, PatchReading, TargetReference } from '../analysis/calibrate/calibration.ts';
import { linearSignals } from '../analysis/calibrate/channelCurves.ts';
import { fitCalibration } from '../analysis/calibrate/fit.ts';
import { labD50, xyzToLab } from '../analysis/colour/lab.ts';
import { onGrid } from '../analysis/film/grid.ts';
import { spectrumFromLab } from '../analysis/film/patchSpectra.ts';
import { estimateSensors, type SeenPatch, type Sensors } from '../analysis/film/sensors.ts';
import { normal, seededRandom } from '../analysis/seededRandom.ts';
import { between } from './draw.ts';
import { chartPatches, publishedDevice } from './publishedDevices.ts';
import { drawTarget, TARGET_KINDS, TARGET_SIZES, type TargetKind, type TargetPatch } from './simulatedColours.ts';
import { drawScanner as drawSampleScanner } from '../sample-scans/generator/scanner.ts';
import { recipeSensors } from './recipeWorlds.ts';
import { drawScanner, signalOf } from './simulatedScanner.ts';
import { deviceOf } from './unlikeScanners.ts';
import { xyzOf } from './spectra.ts';

type Reflectance = readonly number[] | Float64Array;
export type Triple = readonly [number, number, number];

export interface FilmWorld {
  readonly seed: number;
  readonly target: TargetKind | 'chart';
  /**
   * 'drawn': this study's own, far from the eye; 'ordinary': as the sample scans' generator draws them; 'published': a published lamp before a
   * camera's measured sensitivities; 'recipe': by the ranges that the aims were set in (recipeWorlds.ts).
   */
  readonly scanner: 'drawn' | 'ordinary' | 'published' | 'recipe';
  readonly calibration: Calibration;
  /** With the target's spectra known, and with its Lab alone. */
  readonly sensors: { readonly spectra: Sensors; readonly lab: Sensors };
  /** Milliseconds of processor that the estimates took. */
  readonly sensorsMs: { readonly spectra: number; readonly lab: number };
  /** Linear signals of a reflectance, as the calibration's curves give them, with a region mean's noise. */
  readonly signal: (r: Reflectance) => Triple;
}

const READING_NOISE = 0.0008;
const REFERENCE_NOISE = 0.06;
const SIZES = ['large', 'card', 'small'] as const;

function drawnDevice(random: () => number): (r: Reflectance) => Triple {
  const scanner = drawScanner(random);
  return (r) => scanner.encode(signalOf(scanner, r));
}

function ordinaryDevice(seed: number): (r: Reflectance) => Triple {
  const scanner = drawSampleScanner(seed);
  return (r) => deviceOf(scanner, r);
}

/** A drawn or an ordinary scanner in turn, and a drawn target of three kinds and sizes in turn. */
export function filmWorld(seed: number): FilmWorld {
  const random = seededRandom(seed * 6151 + 71);
  const see = seed % 2 === 0 ? drawnDevice(random) : ordinaryDevice(seed);
  return worldOf(seed, seed % 2 === 0 ? 'drawn' : 'ordinary', see, drawnTargetOf(seed, random), random);
}

/** A device outside every prior, before a drawn target. */
export function publishedWorld(seed: number): FilmWorld {
  const random = seededRandom(seed * 6151 + 73);
  return worldOf(seed, 'published', publishedDevice(seed), drawnTargetOf(seed, random), random);
}

/** A scanner by the ranges that the aims were set in, LED, line lamp and smooth lamp in turn, before a drawn target. */
export function recipeWorld(seed: number): FilmWorld {
  const random = seededRandom(seed * 6151 + 83);
  const sensors = recipeSensors(seed, random);
  // Only the tone curve of it.
  const { encode, lamp } = drawScanner(random);
  const see = (r: Reflectance): Triple => encode(signalOf({ sensors, encode, lamp }, r));
  return worldOf(seed, 'recipe', see, drawnTargetOf(Math.floor(seed / 3), random), random);
}

/** The chart of 24 patches with its published spectra as target, before a drawn or an ordinary scanner in turn. */
export function chartWorld(seed: number): FilmWorld {
  const random = seededRandom(seed * 6151 + 79);
  const see = seed % 2 === 0 ? drawnDevice(random) : ordinaryDevice(seed);
  return worldOf(seed, seed % 2 === 0 ? 'drawn' : 'ordinary', see, { kind: 'chart', patches: chartPatches() }, random);
}

interface WorldTarget {
  readonly kind: FilmWorld['target'];
  readonly patches: readonly TargetPatch[];
}

function drawnTargetOf(seed: number, random: () => number): WorldTarget {
  const kind = TARGET_KINDS[seed % 3];
  return { kind, patches: drawTarget(kind, TARGET_SIZES[SIZES[Math.floor(seed / 3) % 3]], random) };
}

function worldOf(
  seed: number,
  scanner: FilmWorld['scanner'],
  see: (r: Reflectance) => Triple,
  { kind, patches }: WorldTarget,
  random: () => number,
): FilmWorld {
  const device = (r: Reflectance): Triple => {
    const [x, y, z] = see(r).map((v) => v * (1 + READING_NOISE * normal(random)) + 2e-4 * normal(random));
    return [x, y, z];
  };
  const readings = patches.map(({ id, grey, reflectance }): PatchReading => ({
    id,
    grey,
    device: device(reflectance),
    sd: [0, 0, 0],
    pixels: 1000,
    clippedShare: 0,
    centreMm: [0, 0],
  }));
  const measured = patches.map(({ reflectance }) => {
    const off = between(random, -0.004, 0.004);
    return Float64Array.from(reflectance, (v) => Math.max(1e-4, v * (1 + off + 0.002 * normal(random))));
  });
  const reference: TargetReference = {
    patches: new Map(
      patches.map(({ id }, i) => {
        const [L, a, b] = xyzToLab(xyzOf(measured[i])).map((v) => v + REFERENCE_NOISE * normal(random));
        return [id, { lab: labD50(L, a, b) }] as const;
      }),
    ),
  };
  const calibration = fitCalibration(readings, reference);
  const signals = linearSignals(
    readings.map(({ device }) => ({ device, light: [1, 1, 1] as const })),
    calibration.curves,
  );
  const seen = (bySpectra: boolean): SeenPatch[] =>
    patches.map(({ id, grey }, i) => ({
      signal: signals[i],
      grey,
      spectrum: bySpectra
        ? { mean: onGrid({ firstNm: 380, stepNm: 10, values: [...measured[i]] }), doubt: [] }
        : spectrumFromLab(reference.patches.get(id)!.lab, grey),
    }));
  // Only what is asked for is estimated.
  const estimated = new Map<boolean, { sensors: Sensors; ms: number }>();
  const taught = (bySpectra: boolean): { sensors: Sensors; ms: number } => {
    const known = estimated.get(bySpectra);
    if (known) return known;
    const told = seen(bySpectra);
    const began = process.cpuUsage();
    const sensors = estimateSensors(told, calibration.curves);
    const { user, system } = process.cpuUsage(began);
    const made = { sensors, ms: (user + system) / 1000 };
    estimated.set(bySpectra, made);
    return made;
  };
  return {
    seed,
    target: kind,
    scanner,
    calibration,
    sensors: {
      get spectra() {
        return taught(true).sensors;
      },
      get lab() {
        return taught(false).sensors;
      },
    },
    sensorsMs: {
      get spectra() {
        return taught(true).ms;
      },
      get lab() {
        return taught(false).ms;
      },
    },
    signal: (r) => linearSignals([{ device: device(r), light: [1, 1, 1] }], calibration.curves)[0],
  };
}
