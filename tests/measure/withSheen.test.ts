/** Sheen that is found in a sample adds its light to all that is told of the sample's colour, and each of these says so. */
import { expect, test } from 'vitest';
import { compileCalibration } from '../../analysis/calibrate/apply.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { barePaperOf } from '../../analysis/measure/barePaper.ts';
import { measureSwab } from '../../analysis/measure/ink.ts';
import type { Flag } from '../../analysis/quantity.ts';
import { draw, flatPaper } from './drawInk.ts';

const calibration = compileCalibration(nominalCalibration);
const PAPER = [0.86, 0.85, 0.82] as const;
/** Reflectance that one patch of it adds. */
const LIGHT = [0.12, 0.05, 0.01];

/** A swab that gets denser to the right; patches of sheen lie on its denser half. */
function flagsOf(patchesMm: readonly number[]): Map<string, readonly Flag[]> {
  const swab = draw({
    widthMm: 30,
    heightMm: 11,
    dpi: 300,
    paper: PAPER,
    absorption: [1.9, 1.2, 0.45],
    noise: 0.003,
    lines: [{ fromMm: [6, 5.5], toMm: [24, 5.5], widthMm: 6, dose: (t) => 0.4 + 1.4 * t }],
  });
  const mmPerPx = 25.4 / swab.dpi;
  const data = swab.data.map((v, i) => {
    const pixel = Math.floor(i / 3);
    const [x, y] = [(pixel % swab.widthPx) * mmPerPx, Math.floor(pixel / swab.widthPx) * mmPerPx];
    return v + (patchesMm.some((at) => Math.hypot(x - at, y - 5.5) < 1.1) ? LIGHT[i % 3] : 0);
  });
  const { quantities } = measureSwab({
    id: 'swab',
    signal: { ...swab, data },
    calibration,
    paper: flatPaper(PAPER),
    bare: barePaperOf(PAPER, calibration),
    scannerBlurMm: 0.03,
    scanFlags: [],
  });
  return new Map(quantities.map(({ quantity, flags }) => [quantity, flags]));
}

test('the colour of a swab with sheen and how it varies say so; the sheen’s own figure does not', () => {
  const flags = flagsOf([16, 19.5, 23]);
  for (const name of ['inkColour', 'inkDensity', 'swabVariation', 'swabVariation.dL']) {
    expect(flags.get(name), name).toContain('with-sheen');
  }
  expect(flags.get('sheen')).not.toContain('with-sheen');
});

test('a swab without sheen does not', () => {
  expect([...flagsOf([]).values()].flat()).not.toContain('with-sheen');
});
