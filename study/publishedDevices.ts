/**
 * Devices and a target that others measured, for studies: CIE's lamps (CIE 15:2018) before a camera's sensitivities (Darrodi, Finlayson, Goodman &
 * Mackiewicz 2015, J. Opt. Soc. Am. A 32, 381–391), and the spectra of the 24-patch chart (N. Ohta 1997, The Basis of Color Reproduction Engineering).
 */
import { onGrid } from '../analysis/film/grid.ts';
import { readVectors, type VectorRow } from '../tests/vectors/readVectors.ts';
import type { TargetPatch } from './simulatedColours.ts';

type Reflectance = readonly number[] | Float64Array;
type Triple = readonly [number, number, number];

/** Those whose light is a scanner's: white LEDs and fluorescent lamps. */
export const PUBLISHED_LAMPS = ['LED-B3', 'FL11', 'LED-V1', 'FL2', 'LED-B4'] as const;
/** Of the tone curve that such a device is given: about sRGB's. */
const GAMMA = 2.2;

/** 380–730 nm by 10 nm of a column given by 5 nm. */
function column(rows: readonly VectorRow[], name: string): Float64Array {
  return onGrid({ firstNm: 380, stepNm: 5, values: rows.map((row) => row.number(name)) });
}

/** Device values 0..1 of a reflectance. */
export function publishedDevice(seed: number): (r: Reflectance) => Triple {
  const lamps = readVectors('lamp_spd_cie_fl_led_5nm.csv', { rows: 81, sha256: '7638b71144b0' });
  const camera = readVectors('rgb_sensitivity_npl2015_5nm.csv', { rows: 81, sha256: '0dc528948449' });
  const light = column(lamps, PUBLISHED_LAMPS[seed % PUBLISHED_LAMPS.length]);
  const bands = ['R', 'G', 'B'].map((name) => {
    const band = column(camera, name).map((v, l) => v * light[l]);
    const sum = band.reduce((a, b) => a + b, 0);
    return band.map((v) => v / sum);
  });
  const value = (band: Float64Array, r: Reflectance): number =>
    0.96 *
    Math.max(
      0,
      band.reduce((sum, v, l) => sum + v * r[l], 0),
    ) **
      (1 / GAMMA);
  return (r) => [value(bands[0], r), value(bands[1], r), value(bands[2], r)];
}

export function chartPatches(): TargetPatch[] {
  const chart = readVectors('chart24_reflectance_ohta1997_5nm.csv', { rows: 81, sha256: '72adc2a2d105' });
  return chart[0].columns
    .slice(1)
    .map((name, i) => ({ id: `P${i + 1}`, grey: i >= 18, reflectance: column(chart, name) }));
}
