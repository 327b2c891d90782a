/**
 * Triples of sensor curves as flatbeds might have them: lamp × bands, then a maker's matrix. The ranges are choices, no source.
 * They share no code with the scanners of studies and of the sample scans, which the fit is judged on.
 */
import { normal } from '../../analysis/seededRandom.ts';
import { WAVELENGTHS_NM } from '../../analysis/film/grid.ts';
import { between } from '../draw.ts';

export const LAMP_CLASSES = ['LED', 'lines', 'smooth'] as const;
export type LampClass = (typeof LAMP_CLASSES)[number];

type Random = () => number;

/** @returns 108 values: red, green and blue over the grid; each sums to 1 and may be negative in places */
export function drawSensors(lamp: LampClass, random: Random): Float64Array {
  const light = drawLamp(lamp, random);
  const cutNm = between(random, 670, 712);
  const bands = [drawBand(random, 598, 636), drawBand(random, 526, 550), drawBand(random, 446, 470)].map((band) => {
    const seen = band.map((v, l) => (v * light[l]) / (1 + Math.exp((WAVELENGTHS_NM[l] - cutNm) / 7)));
    const sum = seen.reduce((a, b) => a + b, 0);
    return seen.map((v) => v / sum);
  });
  const out = new Float64Array(3 * WAVELENGTHS_NM.length);
  for (let c = 0; c < 3; c++) {
    const weights = [0, 1, 2].map((b) => (b === c ? 0 : between(random, -0.28, 0.04)));
    weights[c] = 1 - weights.reduce((a, b) => a + b, 0);
    WAVELENGTHS_NM.forEach((_, l) => {
      out[c * WAVELENGTHS_NM.length + l] = weights.reduce((sum, w, b) => sum + w * bands[b][l], 0);
    });
  }
  return out;
}

function drawLamp(lamp: LampClass, random: Random): number[] {
  if (lamp === 'LED') return ledLamp(random);
  return lamp === 'lines' ? lineLamp(random) : smoothLamp(random);
}

function ledLamp(random: Random): number[] {
  const pumpNm = between(random, 442, 464);
  const pumpSd = between(random, 7, 14);
  const pump = between(random, 0.4, 1.8);
  const phosphorNm = between(random, 530, 585);
  const short = between(random, 30, 55);
  const long = between(random, 45, 75);
  const red = random() < 0.5 ? between(random, 0.05, 0.8) : 0;
  const redNm = between(random, 605, 645);
  const redSd = between(random, 8, 28);
  return WAVELENGTHS_NM.map(
    (nm) =>
      pump * bell(nm - pumpNm, pumpSd) +
      bell(nm - phosphorNm, nm < phosphorNm ? short : long) +
      red * bell(nm - redNm, redSd) +
      0.003,
  );
}

/** Mercury and phosphor lines of a cold-cathode tube; their usual heights, which each draw scatters. */
const LINES: readonly (readonly [nm: number, height: number])[] = [
  [405, 0.12],
  [437, 0.6],
  [489, 0.35],
  [545, 1.1],
  [585, 0.35],
  [611, 1],
  [630, 0.15],
  [700, 0.07],
];

function lineLamp(random: Random): number[] {
  const sd = between(random, 5, 11);
  const floor = between(random, 0.02, 0.2);
  const heights = LINES.map(([, height]) => height * Math.exp(0.45 * normal(random)));
  return WAVELENGTHS_NM.map((nm) => LINES.reduce((sum, [at], k) => sum + heights[k] * bell(nm - at, sd), floor));
}

function smoothLamp(random: Random): number[] {
  const tilt = between(random, -1, 1);
  const bow = between(random, -0.6, 0.4);
  return WAVELENGTHS_NM.map((nm) => {
    const t = (nm - 555) / 175;
    return Math.exp(tilt * t + bow * t * t);
  });
}

/** exp(−|d/w|^p / 2), another width on either side, on a base of leaked light. */
function drawBand(random: Random, fromNm: number, toNm: number): number[] {
  const peakNm = between(random, fromNm, toNm);
  const short = between(random, 14, 50);
  const long = Math.min(50, Math.max(14, short * between(random, 0.7, 1.4)));
  const power = between(random, 1.7, 3.2);
  const leak = 0.05 * random() ** 2;
  return WAVELENGTHS_NM.map(
    (nm) => Math.exp(-(Math.abs((nm - peakNm) / (nm < peakNm ? short : long)) ** power) / 2) + leak,
  );
}

function bell(distance: number, sd: number): number {
  return Math.exp(-((distance / sd) ** 2) / 2);
}
