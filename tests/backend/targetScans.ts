/** Scans with a 4 × 6 chart, the printed card and writing on them, drawn with known truth. Made for these tests. */
import { WETLINE_CARD } from '../../analysis/calibrate/card/plan.ts';
import { labD50, xyzToLab, type LabD50 } from '../../analysis/colour/lab.ts';
import { srgbToXyzD50 } from '../../analysis/colour/srgb.ts';
import type { Point } from '../../analysis/raster/homography.ts';
import type { DocumentTarget } from '../../electron/backend/api.ts';
import type { DeviceRaster } from '../../analysis/raster/raster.ts';
import { BUILT_IN_LAYOUTS, BUILT_IN_REFERENCES } from '../../electron/sheet/builtIn.ts';
import { parseReference } from '../../electron/sheet/reference.ts';
import { deviceOf, drawScene, drawTarget, plainDevice, type TargetDrawing } from '../calibrate/drawTarget.ts';
import { drawPng } from '../host/drawPng.ts';

export const DPI = 150;
const CHART = BUILT_IN_LAYOUTS.get('chart-4x6')!;
const CHART_VALUES = parseReference(BUILT_IN_REFERENCES.get('chart-4x6')!.text, 'chart');

/** What the printer made of the card: paler than asked for, as matt paper is. */
export const CARD_TRUTH: ReadonlyMap<string, LabD50> = new Map(
  [...WETLINE_CARD.patches].map(([id, rgb]) => {
    const [r, g, b] = rgb.map((v) => 0.17 + 0.76 * v);
    return [id, xyzToLab(srgbToXyzD50(r, g, b))];
  }),
);

export interface ChartScan {
  readonly png: Buffer;
  /** Corners of the chart, mm of the scan, as a person would give them. */
  readonly pointsMm: NonNullable<DocumentTarget['pointsMm']>;
}

/** A chart of 121 × 79 mm beside a page of writing, on 210 × 148 mm. */
export function drawChart(change: Partial<TargetDrawing> = {}): ChartScan {
  const drawn = drawTarget(CHART, plainDevice(CHART_VALUES.patches), {
    dpi: DPI,
    sizeMm: [210, 148],
    centreMm: [72, 52],
    scale: 0.45,
    noise: 0.004,
    beside: [{ kind: 'page', boxMm: [142, 6, 64, 138], paper: [0.94, 0.93, 0.9] }],
    ...change,
  });
  return { png: pngOf(drawn), pointsMm: inMm(drawn.pointsPx) };
}

/** The chart above, the printed card below it, on 190 × 182 mm. */
export function drawChartAndCard(): ChartScan {
  const chart = drawTarget(CHART, plainDevice(CHART_VALUES.patches), {
    dpi: DPI,
    sizeMm: [190, 182],
    centreMm: [80, 44],
    scale: 0.45,
    noise: 0.003,
  });
  const device = new Map([...CARD_TRUTH].map(([id, lab]) => [id, deviceOf(lab)] as const));
  const card = drawTarget(WETLINE_CARD.layout, device, {
    dpi: DPI,
    sizeMm: [186, 92],
    centreMm: [93, 46],
    turnDeg: 1.5,
    noise: 0.003,
    card: deviceOf(labD50(94, 0, 1)),
    seed: 2,
  });
  return { png: pngOf(pasted(chart, card, [2, 88])), pointsMm: inMm(chart.pointsPx) };
}

/** The card alone. */
export function drawCard(): Buffer {
  const device = new Map([...CARD_TRUTH].map(([id, lab]) => [id, deviceOf(lab)] as const));
  return pngOf(
    drawTarget(WETLINE_CARD.layout, device, { dpi: DPI, noise: 0.003, card: deviceOf(labD50(94, 0, 1)), seed: 3 }),
  );
}

/** A bare white sheet over the whole bed, lit less towards the lower right. */
export function drawWhite(): Buffer {
  return pngOf(drawScene([210, 148], { dpi: DPI, bed: 0.93, noise: 0.004, gradient: 0.06, seed: 5 }));
}

export function pngOf({ data, widthPx, heightPx, bits }: DeviceRaster): Buffer {
  const perMetre = Math.round(DPI / 0.0254);
  return drawPng({ widthPx, heightPx, samples: data, bits, pixelsPerMetre: [perMetre, perMetre] });
}

function pasted(under: DeviceRaster, over: DeviceRaster, [leftMm, topMm]: readonly [number, number]): DeviceRaster {
  const [left, top] = [leftMm, topMm].map((mm) => Math.round((mm * DPI) / 25.4));
  const data = under.data.slice();
  const columns = Math.min(over.widthPx, under.widthPx - left);
  for (let y = 0; y < Math.min(over.heightPx, under.heightPx - top); y++) {
    const row = over.data.subarray(3 * y * over.widthPx, 3 * (y * over.widthPx + columns));
    data.set(row, 3 * ((y + top) * under.widthPx + left));
  }
  return { ...under, data };
}

function inMm([a, b, c, d]: readonly [Point, Point, Point, Point]): ChartScan['pointsMm'] {
  const mm = (px: number) => Math.round((2540 * px) / DPI) / 100;
  const point = ([x, y]: Point) => [mm(x), mm(y)] as const;
  return [point(a), point(b), point(c), point(d)];
}
