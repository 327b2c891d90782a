/**
 * Worlds by the ranges that the film fit's aims were set in: scanners, lobes and swabs drawn by one recipe, with code and seeds of this study's own; the
 * priors' tables share nothing with them but those ranges. Wavelengths 380–730 nm by 10 nm. Ranges are choices, no source.
 */
import { normal } from '../analysis/seededRandom.ts';
import { between } from './draw.ts';
import { inkOnPaper, type SimulatedInk, type Spectrum } from './simulatedColours.ts';
import { WAVELENGTHS } from './spectra.ts';

type Random = () => number;

/** Median of a graded swab's densest dose: absorption × thickness at the strongest wavelength. */
export const RECIPE_DOSE = 1;

/** Three curves that each sum to 1: lamp × bands × infrared cut, then a maker's matrix. @param turn LED, lines or smooth, one after another */
export function recipeSensors(turn: number, random: Random): readonly Spectrum[] {
  const light = [ledLight, lineLight, smoothLight][turn % 3](random);
  const cut = between(random, 670, 712);
  const bands = (
    [
      [598, 636],
      [526, 550],
      [446, 470],
    ] as const
  ).map(([from, to]) => {
    const band = skewedBand(from, to, random).map(
      (v, i) => (v * light[i]) / (1 + Math.exp((WAVELENGTHS[i] - cut) / 7)),
    );
    const sum = band.reduce((a, b) => a + b, 0);
    return band.map((v) => v / sum);
  });
  return [0, 1, 2].map((own) => {
    const off = bands.map((_, b) => (b === own ? 0 : between(random, -0.28, 0.04)));
    const rest = off.reduce((a, b) => a + b, 0);
    return WAVELENGTHS.map((_, i) =>
      bands.reduce((sum, band, b) => sum + (b === own ? 1 - rest : off[b]) * band[i], 0),
    );
  });
}

function ledLight(random: Random): number[] {
  const [pump, pumpSd] = [between(random, 442, 464), between(random, 7, 14)];
  const height = between(random, 0.4, 1.8);
  const phosphor = between(random, 530, 585);
  const [short, long] = [between(random, 30, 55), between(random, 45, 75)];
  const red = random() < 0.5 ? between(random, 0, 0.8) : 0;
  const [redAt, redSd] = [between(random, 605, 645), between(random, 8, 28)];
  return WAVELENGTHS.map(
    (nm) =>
      0.003 +
      height * bell(nm - pump, pumpSd) +
      bell(nm - phosphor, nm < phosphor ? short : long) +
      red * bell(nm - redAt, redSd),
  );
}

function lineLight(random: Random): number[] {
  const sd = between(random, 5, 11);
  const floor = between(random, 0.02, 0.2);
  const lines = [405, 437, 489, 545, 585, 611, 630, 700];
  const usual = [0.12, 0.6, 0.35, 1.1, 0.35, 1, 0.15, 0.07];
  const heights = usual.map((height) => height * Math.exp(0.45 * normal(random)));
  return WAVELENGTHS.map((nm) => lines.reduce((sum, at, i) => sum + heights[i] * bell(nm - at, sd), floor));
}

function smoothLight(random: Random): number[] {
  const [tilt, bow] = [between(random, -1, 1), between(random, -0.6, 0.4)];
  return WAVELENGTHS.map((nm) => {
    const t = (nm - 555) / 175;
    return Math.exp(tilt * t + bow * t * t);
  });
}

function skewedBand(from: number, to: number, random: Random): number[] {
  const peak = between(random, from, to);
  const short = between(random, 14, 50);
  const long = Math.min(50, Math.max(14, short * between(random, 0.7, 1.4)));
  const power = between(random, 1.7, 3.2);
  const leak = 0.05 * random() ** 2;
  return WAVELENGTHS.map((nm) => leak + Math.exp(-(Math.abs((nm - peak) / (nm < peak ? short : long)) ** power) / 2));
}

/** One to four lobes, often with a shoulder on the short side and a lobe near 400 nm; 15 % broad blacks. */
export function recipeInk(random: Random): SimulatedInk {
  const floor = between(random, 0.002, 0.01);
  const k = WAVELENGTHS.map(() => floor);
  const lobe = (nm: number, sd: number, height: number): void => {
    WAVELENGTHS.forEach((at, i) => (k[i] += height * bell(at - nm, sd)));
  };
  if (random() < 0.15) {
    const count = 2 + Math.floor(3 * random());
    for (let n = 0; n < count; n++) lobe(between(random, 400, 700), between(random, 55, 130), between(random, 0.4, 1));
  } else {
    const count = 1 + Math.floor(4 * random() ** 1.6);
    for (let n = 0; n < count; n++) {
      const nm = between(random, 395, 705);
      const sd = 31 * Math.exp(0.3 * normal(random));
      const height = n === 0 ? 1 : between(random, 0.1, 1);
      lobe(nm, sd, height);
      if (random() < 0.5) lobe(nm - between(random, 25, 55), sd, height * between(random, 0.15, 0.6));
      if (random() < 0.4) lobe(between(random, 385, 415), between(random, 20, 50), height * between(random, 0.05, 0.5));
    }
  }
  const top = Math.max(...k);
  return { k: k.map((v) => v / top), scatter: 0.025 * Math.exp(0.9 * normal(random)) };
}

/** One of a paper's samples: mean light of its doses, and the one that it counts as. */
export interface SwabStrip {
  readonly dose: number;
  readonly reflectance: Float64Array;
}

const STRIPS = 12;
const EVEN = 2;
/** Within a strip dose runs from one side to the other; so many points of it are mixed as light. */
const WITHIN = 5;

/** A graded swab cut in strips and two even swabs on one paper, palest first. */
export function recipeSwabs(ink: SimulatedInk, paper: Spectrum, random: Random): SwabStrip[] {
  const most = RECIPE_DOSE * Math.exp(0.5 * normal(random));
  const least = most * between(random, 0.04, 0.12);
  const bow = between(random, 1, 2);
  const doseAt = (t: number): number => least + (most - least) * t ** bow;
  const graded = Array.from({ length: STRIPS }, (_, i) =>
    strip(
      ink,
      paper,
      Array.from({ length: WITHIN }, (_, n) => doseAt((i + (n + 0.5) / WITHIN) / STRIPS)),
    ),
  );
  const even = Array.from({ length: EVEN }, () => {
    const own = doseAt(between(random, 0.2, 0.9));
    return strip(ink, paper, [0.94 * own, 0.98 * own, 1.02 * own, 1.06 * own]);
  });
  return [...graded, ...even].sort((a, b) => a.dose - b.dose);
}

function strip(ink: SimulatedInk, paper: Spectrum, doses: readonly number[]): SwabStrip {
  const reflectance = new Float64Array(WAVELENGTHS.length);
  for (const dose of doses) {
    const one = inkOnPaper(ink, dose, paper);
    for (let i = 0; i < one.length; i++) reflectance[i] += one[i] / doses.length;
  }
  return { dose: doses.reduce((a, b) => a + b, 0) / doses.length, reflectance };
}

function bell(distance: number, sd: number): number {
  return Math.exp(-((distance / sd) ** 2) / 2);
}
