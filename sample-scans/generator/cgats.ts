/** The card's reference as an instrument would have measured it: CGATS.17 text, once as Lab, once as spectra. */
import { cgatsTable } from '../../analysis/calibrate/cgatsTable.ts';
import { xyzToLab } from '../../analysis/colour/lab.ts';
import type { Card } from './card.ts';
import { stream } from './random.ts';
import { WAVELENGTHS, skewedBell, toXyz } from './spectra.ts';
import type { Curve } from './spectra.ts';

/** Relative errors of the instrument: one for all wavelengths, one each for blue, green and red; they give about 0.1 in L*, a*, b*. */
const COMMON_ERROR = 0.0028;
const BAND_ERROR = 0.0008;

/** The spectra that the instrument returned, in the layout's order. */
export function measuredPatches(seed: number, card: Card): Curve[] {
  const random = stream(seed, 'card/instrument');
  return card.patches.map((reflectance) => {
    const common = COMMON_ERROR * random.normal();
    const bands = [450, 545, 620].map((nm) => [nm, BAND_ERROR * random.normal()] as const);
    return reflectance.map((r, l) => {
      const nm = WAVELENGTHS[l];
      return r * (1 + common + bands.reduce((sum, [at, e]) => sum + e * skewedBell(nm, at, 40, 0), 0));
    });
  });
}

export function labText(card: Card, measured: readonly Curve[]): string {
  const rows = measured.map((r, i) => {
    const lab = xyzToLab(toXyz(r));
    return [card.layout.patches[i].id, ...lab.map((v) => v.toFixed(3))].join('\t');
  });
  return text(['SAMPLE_ID', 'LAB_L', 'LAB_A', 'LAB_B'], rows);
}

export function spectraText(card: Card, measured: readonly Curve[]): string {
  const rows = measured.map((r, i) => [card.layout.patches[i].id, ...[...r].map((v) => v.toFixed(5))].join('\t'));
  return text(['SAMPLE_ID', ...WAVELENGTHS.map((nm) => `SPECTRAL_NM${nm}`)], rows);
}

function text(fields: readonly string[], rows: readonly string[]): string {
  return [
    'CGATS.17',
    'ORIGINATOR "Wetline sample scans, rendered"',
    'DESCRIPTOR "Marram test card, 24 greys and 72 colours"',
    'ILLUMINATION_NAME "D50"',
    'OBSERVER_ANGLE "2"',
    ...cgatsTable(fields, rows),
  ].join('\n');
}
