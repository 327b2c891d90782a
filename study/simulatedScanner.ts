/**
 * Scanners that nobody built, for studies: a lamp, three filters, a matrix as drivers apply it, and a tone curve.
 * Wavelengths 380–730 nm by 10 nm. The ranges are those of consumer flatbeds (white LED, cold-cathode line lamp, or
 * something smooth); they are choices of this study, no source.
 */
import { normal } from '../analysis/seededRandom.ts';
import { srgbEncode } from '../analysis/colour/srgb.ts';
import { between } from './draw.ts';
import { WAVELENGTHS } from './spectra.ts';

export const LAMPS = ['LED', 'lines', 'smooth'] as const;
export type LampKind = (typeof LAMPS)[number];

export interface SimulatedScanner {
  readonly lamp: LampKind;
  /** Three curves over WAVELENGTHS, each summing to 1: the perfect diffuser gives (1, 1, 1). May be negative. */
  readonly sensors: readonly (readonly number[])[];
  /** Linear signals → device 0..1. */
  readonly encode: (linear: readonly [number, number, number]) => [number, number, number];
}

/** @param kind left out: drawn, LEDs most often */
export function drawScanner(random: () => number, kind?: LampKind): SimulatedScanner {
  const lamp = kind ?? (random() < 0.45 ? 'LED' : random() < 0.8 ? 'lines' : 'smooth');
  const light = drawLamp(lamp, random);
  const infraredCut = between(random, 670, 712);
  const bands = [
    drawBand(random, 600, 630, 28, 46, infraredCut),
    drawBand(random, 530, 550, 28, 44, infraredCut),
    drawBand(random, 446, 464, 24, 38, infraredCut),
  ];
  const plain = bands.map((band) => unitSum(band.map((value, i) => value * light[i])));
  const matrix = drawMatrix(random);
  const sensors = matrix.map((row) =>
    WAVELENGTHS.map((_, i) => row[0] * plain[0][i] + row[1] * plain[1][i] + row[2] * plain[2][i]),
  );
  return { lamp, sensors, encode: drawTone(random) };
}

/** Linear signals of a reflectance. */
export function signalOf(
  scanner: SimulatedScanner,
  reflectance: readonly number[] | Float64Array,
): [number, number, number] {
  const out: [number, number, number] = [0, 0, 0];
  for (let c = 0; c < 3; c++) {
    const sensor = scanner.sensors[c];
    let sum = 0;
    for (let i = 0; i < sensor.length; i++) sum += sensor[i] * reflectance[i];
    out[c] = sum;
  }
  return out;
}

function drawLamp(kind: LampKind, random: () => number): number[] {
  if (kind === 'LED') {
    const pump = between(random, 442, 464);
    const pumpSd = between(random, 7, 14);
    const pumpHeight = between(random, 0.5, 1.6);
    const phosphor = between(random, 530, 585);
    const short = between(random, 30, 55);
    const long = between(random, 45, 75);
    const red = random() < 0.4 ? between(random, 0.1, 0.7) : 0;
    const redAt = between(random, 605, 645);
    return WAVELENGTHS.map(
      (nm) =>
        pumpHeight * bell(nm - pump, pumpSd) +
        bell(nm - phosphor, nm < phosphor ? short : long) +
        red * bell(nm - redAt, 18) +
        0.002,
    );
  }
  if (kind === 'lines') {
    const floor = between(random, 0.06, 0.3);
    const heights = [0.15, 0.6, 0.35, 1.2, 0.35, 1.1, 0.1, 0.06].map((h) => h * Math.exp(0.4 * normal(random)));
    const sd = between(random, 7, 12);
    const lines = [405, 437, 489, 545, 585, 611, 630, 700];
    return WAVELENGTHS.map((nm) => lines.reduce((sum, at, k) => sum + heights[k] * bell(nm - at, sd), floor));
  }
  const tilt = between(random, -0.9, 0.9);
  const bow = between(random, -0.5, 0.3);
  return WAVELENGTHS.map((nm) => {
    const t = (nm - 555) / 175;
    return Math.exp(tilt * t + bow * t * t);
  });
}

/** A skewed band on a base of leakage; the infrared filter cuts them all alike. */
function drawBand(
  random: () => number,
  peakFrom: number,
  peakTo: number,
  widthFrom: number,
  widthTo: number,
  infraredCut: number,
): number[] {
  const peak = between(random, peakFrom, peakTo);
  const short = between(random, widthFrom, widthTo);
  const long = Math.min(50, short * between(random, 0.8, 1.35));
  const power = between(random, 1.7, 3.2);
  const leak = between(random, 0, 0.02);
  return WAVELENGTHS.map((nm) => {
    const width = nm < peak ? short : long;
    const band = Math.exp(-(Math.abs((nm - peak) / width) ** power) / 2);
    return (band + leak) / (1 + Math.exp((nm - infraredCut) / 6));
  });
}

/** Rows sum to 1; what a driver does to make the three bands look like sRGB. */
function drawMatrix(random: () => number): number[][] {
  const strength = random() < 0.3 ? 0 : 1;
  return [0, 1, 2].map((row) => {
    const off = [0, 1].map(() => strength * between(random, -0.28, 0.04));
    const values = [off[0], off[1]];
    values.splice(row, 0, 1 - off[0] - off[1]);
    return values;
  });
}

/** One law for the device, with small differences between its channels: stray light, black, gain and, where analogue, gamma. */
function drawTone(random: () => number): (linear: readonly [number, number, number]) => [number, number, number] {
  const gamma = between(random, 1, 2.4);
  const srgb = random() < 0.35;
  const flare = random() < 0.6 ? between(random, 0.001, 0.006) : 0;
  const digital = random() < 0.5;
  const channels = [0, 1, 2].map(() => ({
    gamma: digital ? gamma : gamma * between(random, 0.985, 1.015),
    gain: between(random, 0.95, 1),
    flare: flare * between(random, 0.85, 1.15),
    black: digital ? 0 : between(random, 0, 0.008),
  }));
  return (linear) => {
    const out = linear.map((signal, c) => {
      const own = channels[c];
      const lit = (own.gain * (Math.max(signal, 0) + own.flare)) / 1.03;
      return own.black + (1 - own.black) * (srgb ? srgbEncode(lit) : lit ** (1 / own.gamma));
    });
    return [out[0], out[1], out[2]];
  };
}

function bell(distance: number, sd: number): number {
  return Math.exp(-((distance / sd) ** 2) / 2);
}

function unitSum(values: readonly number[]): number[] {
  const sum = values.reduce((total, value) => total + value, 0);
  return values.map((value) => value / sum);
}
