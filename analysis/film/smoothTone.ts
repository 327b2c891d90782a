/**
 * A calibration's tone curve without the waves of single greys. It goes through every grey, and so through each one's error: half a percent of waves, which no one
 * set of sensors can explain. A device's law has none.
 */
import { Matrix, solve } from 'ml-matrix';
import type { ToneCurve } from '../calibrate/calibration.ts';
import type { Wave } from './bend.ts';

/** Of the polynomial, in the space where the curve is nearly straight. Three do as well (seeds 400–429 of study/film.ts). */
const TERMS = 4;
/** Fewer greys than this are not enough to tell law from error. */
const FEWEST_GREYS = 7;
/** Below this light the curve stays as it is, from three times as much on it is smooth: a share of little is soon wrong, and other unknowns are for the dark. */
const FAINT = 0.02;
/** What is farther off than this (root mean square, relative) is the device's own, not its greys'. */
const MOST_WAVES = 0.015;
const POINTS = 40;

/** @param curve of a calibration @param curveAt the same at work @returns null: nothing to take off */
export function waveOf(curve: ToneCurve, curveAt: (device: number) => number): Wave | null {
  const { device, exponent, flare } = curve;
  const from = device[0];
  const to = device[device.length - 1];
  if (device.length < FEWEST_GREYS || !(to > from)) return null;
  const terms = (d: number): number[] => Array.from({ length: TERMS }, (_, k) => ((d - from) / (to - from)) ** k);
  const roots = device.map((d) => Math.max(curveAt(d) + flare, 0) ** (1 / exponent));
  const law = solve(new Matrix(device.map(terms)), Matrix.columnVector(roots)).to1DArray();
  const logAt = (d: number): number => {
    const was = curveAt(d);
    const root = terms(d).reduce((sum, term, k) => sum + law[k] * term, 0);
    const is = Math.max(root, 0) ** exponent - flare;
    return was <= FAINT || is <= 0 ? 0 : Math.min(1, (was - FAINT) / (2 * FAINT)) * Math.log(is / was);
  };
  const waves = device.map(logAt);
  if (Math.sqrt(waves.reduce((sum, v) => sum + v * v, 0) / waves.length) > MOST_WAVES) return null;
  const devices = Array.from({ length: POINTS }, (_, i) => from + ((to - from) * i) / (POINTS - 1));
  return { signals: devices.map(curveAt), logs: devices.map(logAt) };
}
