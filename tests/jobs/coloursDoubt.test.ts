import { expect, test } from 'vitest';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { colourUncertainty } from '../../analysis/calibrate/uncertainty.ts';
import { labD50 } from '../../analysis/colour/lab.ts';
import type { Quantity } from '../../analysis/quantity.ts';
import { coloursDoubt } from '../../electron/answers/coloursDoubt.ts';

const lightness = { firstL: 0, stepL: 1, counts: [] };
const ink = { lab: [40, 10, -25], paper: [95, 0, 1], dark: [30, 12, -28], light: [60, 8, -20], lightness } as const;
const own: Quantity = {
  quantity: 'inkColour',
  subject: { regions: ['b'] },
  value: ink.lab,
  unit: 'Lab',
  u: [4, 4, 4],
  uParts: { repeatability: [0.3, 0.3, 0.3], calibration: [4, 4, 4], placement: [0.4, 0, 0] },
  flags: [],
  method: 'inkColour/1',
};

test('an ink’s ends are as sure as the calibration there, its scatter and its edges allow; paper as paper', () => {
  const { dark, paper, halo } = coloursDoubt({ ink, edge: null, strip: null }, nominalCalibration, [own]);
  const [L, a, b] = colourUncertainty(labD50(...ink.dark), nominalCalibration, 'ink');
  expect(dark).toEqual([Math.hypot(L, 0.5), Math.hypot(a, 0.3), Math.hypot(b, 0.3)].map((v) => expect.closeTo(v, 9)));
  expect(paper).toEqual(colourUncertainty(labD50(...ink.paper), nominalCalibration, 'paper'));
  expect(halo).toBeUndefined();
});

test('the mean edge is as sure place by place as an ink of that colour', () => {
  const lab = [
    [95, 0, 1],
    [40, 10, -25],
  ] as const;
  const profile = { distanceMm: [-0.1, 0.1], contrast: [0, 1], fitted: null, lab };
  const unknown = { scannedBlurMm: null, blur70Mm: null, scannerBlurMm: null };
  const edge = { edges: [], whiskers: [], hairs: [], halo: null, profile: { ...profile, ...unknown } };
  const { acrossEdge } = coloursDoubt({ ink: null, edge, strip: null }, nominalCalibration, []);
  expect(acrossEdge).toEqual(lab.map(([L, a, b]) => colourUncertainty(labD50(L, a, b), nominalCalibration, 'ink')));
});

test('of a strip the palest place is its paper, and the place nearest to the origin counts for that', () => {
  const lab = [
    [93, 0, 2],
    [60, 40, 7],
    [94, 0, 2],
  ] as const;
  const strip = { travel: 'up', originMm: 21, frontMm: 80, placesMm: [10, 20, 30], lab, bands: [] } as const;
  const curves = { absorbance: [[], [], []], fitted: [[], [], []] } as const;
  const told = coloursDoubt({ ink: null, edge: null, strip: { ...strip, ...curves } }, nominalCalibration, []);
  expect(told.origin).toEqual(colourUncertainty(labD50(...lab[1]), nominalCalibration, 'ink'));
  expect(told.stripPaper).toEqual(colourUncertainty(labD50(...lab[2]), nominalCalibration, 'paper'));
});
