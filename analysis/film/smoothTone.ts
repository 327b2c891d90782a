/**
 * A calibration's tone curve without the waves of single greys. It goes through every grey, and so through each one's error: half a percent of waves, and
 * beyond the greys a line whose slope is that error's, which no one set of sensors can explain. A device's law has none: light + flare = gain · (device − black)^exponent.
 */
import { Matrix, solve } from 'ml-matrix';
import type { ToneCurve } from '../calibrate/calibration.ts';
import type { Wave } from './bend.ts';

/** Fewer greys than these are not enough to tell a law's four numbers, or a polynomial, from error. */
const FEWEST_GREYS = { law: 5, polynomial: 7 } as const;
/** Device values of no light that are tried (a law like sRGB's lies below 0), and stray light, linear. */
const BLACKS: readonly number[] = Array.from({ length: 21 }, (_, i) => -0.08 + 0.005 * i);
const FLARES = [0, 0.0005, 0.001, 0.0015, 0.002, 0.003, 0.004, 0.005, 0.006, 0.008, 0.01, 0.014] as const;
/** Greys below this light are not asked, and up to `half` count less: a share of little is soon wrong. */
const DARK = { least: 0.002, half: 0.01 } as const;
/** A curve farther off than this (root mean square, relative) is the device's own: of 48 that follow a law 46 leave 0.0025 to 0.008 (seeds 420–443). */
const MOST_OFF_LAW = 0.012;

/** Of the polynomial, in the space where the curve is nearly straight, where there is no law. Three do as well (seeds 400–429 of study/film.ts). */
const TERMS = 4;
/** Below this light the curve stays as it is by the polynomial, from three times as much on it is smooth. */
const FAINT = 0.02;
const MOST_WAVES = 0.015;

/** Where the wave is told, over all device values; below the least signals there is nothing to take it off from. */
const POINTS = 80;
const LEAST_SIGNALS = { was: 0.001, is: 0.0005 } as const;

/** @param curve of a calibration @param curveAt the same at work @returns null: nothing to take off */
export function waveOf(curve: ToneCurve, curveAt: (device: number) => number): Wave | null {
  return waveByLaw(curve, curveAt) ?? waveByPolynomial(curve, curveAt);
}

function waveByLaw({ device }: ToneCurve, curveAt: (device: number) => number): Wave | null {
  const law = lawOf(device.map((d) => ({ device: d, light: curveAt(d) })).filter(({ light }) => light > DARK.least));
  if (law === null) return null;
  const to = 1.05 * device[device.length - 1] + 0.05;
  const signals: number[] = [];
  const logs: number[] = [];
  for (let i = 1; i <= POINTS; i++) {
    const was = curveAt((to * i) / POINTS);
    const is = law((to * i) / POINTS);
    if (was < LEAST_SIGNALS.was || is < LEAST_SIGNALS.is || was <= (signals.at(-1) ?? 0)) continue;
    signals.push(was);
    logs.push(Math.log(is / was));
  }
  return signals.length === 0 ? null : { signals, logs };
}

interface Grey {
  readonly device: number;
  readonly light: number;
}

/** By least squares of logarithms; black and flare by trial, gain and exponent as a straight line. */
function lawOf(greys: readonly Grey[]): ((device: number) => number) | null {
  if (greys.length < FEWEST_GREYS.law) return null;
  const weights = greys.map(({ light }) => 1 / (1 + (DARK.half / light) ** 2));
  const all = sum(weights);
  const mean = (values: readonly number[]): number => sum(values.map((v, i) => weights[i] * v)) / all;
  let law: ((device: number) => number) | null = null;
  let least = all * MOST_OFF_LAW ** 2;
  for (const black of BLACKS) {
    if (greys.some(({ device }) => device <= black)) continue;
    const x = greys.map(({ device }) => Math.log(device - black));
    const middle = mean(x);
    const across = x.map((v) => v - middle);
    const spread = mean(across.map((v) => v * v));
    if (!(spread > 0)) continue;
    for (const flare of FLARES) {
      const y = greys.map(({ light }) => Math.log(light + flare));
      const height = mean(y);
      const exponent = mean(across.map((v, i) => v * y[i])) / spread;
      const off = sum(
        greys.map(({ light }, i) => {
          const fitted = Math.exp(height + exponent * across[i]) - flare;
          return fitted > 0 ? weights[i] * Math.log(fitted / light) ** 2 : Infinity;
        }),
      );
      if (off >= least) continue;
      least = off;
      law = (device) =>
        device > black ? Math.exp(height + exponent * (Math.log(device - black) - middle)) - flare : 0;
    }
  }
  return law;
}

function waveByPolynomial({ device, exponent, flare }: ToneCurve, curveAt: (device: number) => number): Wave | null {
  const from = device[0];
  const to = device[device.length - 1];
  if (device.length < FEWEST_GREYS.polynomial || !(to > from)) return null;
  const terms = (d: number): number[] => Array.from({ length: TERMS }, (_, k) => ((d - from) / (to - from)) ** k);
  const roots = device.map((d) => Math.max(curveAt(d) + flare, 0) ** (1 / exponent));
  const law = solve(new Matrix(device.map(terms)), Matrix.columnVector(roots)).to1DArray();
  const logAt = (d: number): number => {
    const was = curveAt(d);
    const root = sum(terms(d).map((term, k) => law[k] * term));
    const is = Math.max(root, 0) ** exponent - flare;
    return was <= FAINT || is <= 0 ? 0 : Math.min(1, (was - FAINT) / (2 * FAINT)) * Math.log(is / was);
  };
  const waves = device.map(logAt);
  if (Math.sqrt(sum(waves.map((v) => v * v)) / waves.length) > MOST_WAVES) return null;
  const devices = Array.from({ length: POINTS }, (_, i) => from + ((to - from) * i) / (POINTS - 1));
  return { signals: devices.map(curveAt), logs: devices.map(logAt) };
}

function sum(values: readonly number[]): number {
  return values.reduce((a, b) => a + b, 0);
}
