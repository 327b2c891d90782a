import { describe, expect, test } from 'vitest';
import { compileCalibration } from '../../analysis/calibrate/apply.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { barePaperOf } from '../../analysis/measure/barePaper.ts';
import { INK_MARKS, measureStrokes } from '../../analysis/measure/ink.ts';
import { draw, type Drawing, flatPaper, type Line } from './drawInk.ts';
import { singleInkShading } from './singleInkTruth.ts';

const calibration = compileCalibration(nominalCalibration);
const PAGE = {
  widthMm: 16,
  heightMm: 13,
  paper: [0.86, 0.85, 0.82],
  absorption: [1.9, 1.2, 0.45],
  noise: 0.003,
} as const;
const WIDTH_MM = 0.8;

/** Short lines across two long ones; all lay more ink towards where they cross, as pens do that turn there. */
function inkedWhereTheyCross(more: number): Line[] {
  const rows = [4.2, 9.4];
  const columns = [4, 7.3, 10.9];
  const near = (places: readonly number[], at: number): number =>
    0.45 * (1 + more * Math.max(...places.map((place) => Math.exp(-(((at - place) / 0.8) ** 2)))));
  return [
    ...rows.map((y): Line => ({
      fromMm: [2, y],
      toMm: [14, y],
      widthMm: WIDTH_MM,
      dose: (t) => near(columns, 2 + 12 * t),
    })),
    ...columns.map((x): Line => ({
      fromMm: [x, 2.2],
      toMm: [x, 11.4],
      widthMm: WIDTH_MM,
      dose: (t) => near(rows, 2.2 + 9.2 * t),
    })),
  ];
}

describe('ink beside crossings', () => {
  test.each([
    ['as dark as elsewhere', 0, 300],
    ['darker', 0.3, 300],
    ['darker, at 600 dpi', 0.3, 600],
  ])('%s', (_, more, dpi) => {
    const d: Drawing = { ...PAGE, dpi, blurMm: 0.05, lines: inkedWhereTheyCross(more) };
    const { quantities, marks } = measureStrokes({
      id: 'r',
      signal: draw(d),
      calibration,
      paper: flatPaper(d.paper),
      bare: barePaperOf(d.paper, calibration),
      scannerBlurMm: Math.hypot(0.05, 25.4 / dpi / Math.sqrt(12)),
      scanFlags: [],
    });
    const told = quantities.find((q) => q.quantity === 'shading.dL');
    // 0.07, 0.67 and 0.51; without the corners about 2 of 2.9.
    expect(Math.abs(Number(told?.value) - singleInkShading(d, calibration))).toBeLessThan(0.8);
    // The crossing itself holds two layers and does not count, what lies just beside it does.
    const at = (xMm: number, yMm: number): number =>
      marks![Math.round((yMm * dpi) / 25.4) * Math.round((d.widthMm * dpi) / 25.4) + Math.round((xMm * dpi) / 25.4)];
    const { doubleLayer, counted, dark, light } = INK_MARKS;
    expect(at(7.3, 4.2)).toBe(doubleLayer);
    expect([counted, dark, light]).toContain(at(7.3, 4.75));
  });
});
