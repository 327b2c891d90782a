/**
 * A scan of any target, drawn exactly: every edge is a Gaussian-blurred step at a known place, and around the target lies
 * what lies on desks (clutter.ts). Same options, same pixels. Made for these tests.
 */
import type { BoxMm, PointMm, TargetLayout } from '../../analysis/calibrate/calibration.ts';
import { XYZ_D50_TO_RGB, srgbEncode } from '../../analysis/colour/srgb.ts';
import { labToXyz, type LabD50 } from '../../analysis/colour/lab.ts';
import { times } from '../../analysis/colour/adapt.ts';
import {
  homography,
  type Homography,
  invertHomography,
  mapPoint,
  type Point,
} from '../../analysis/raster/homography.ts';
import type { DeviceRaster } from '../../analysis/raster/raster.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import { Canvas, type Rgb } from './canvas.ts';
import { drawClutter, type Clutter } from './clutter.ts';

export type { Clutter } from './clutter.ts';

export interface TargetDrawing {
  readonly dpi: number;
  /** Clockwise as seen in the scan. @default 0 */
  readonly turnDeg?: number;
  readonly mirrored?: boolean;
  /** Size against the layout's millimetres. @default 1 */
  readonly scale?: number;
  /** Size in the target's x over its size in y: a wrong dpi one way, a stretched print. @default 1 */
  readonly stretch?: number;
  /** By how much of its distance from the middle the target's bottom right corner is drawn in: 0.01 is slight. @default 0 */
  readonly perspective?: number;
  /** The scan. @default what holds the turned target and 8 mm around it */
  readonly sizeMm?: PointMm;
  /** Where the middle of the layout's patches and points lies, mm of the scan; needs sizeMm. @default the scan's middle, a little off */
  readonly centreMm?: PointMm;
  /** More targets of the same kind, by their middles, mm of the scan; needs centreMm and sizeMm. */
  readonly moreAtMm?: readonly PointMm[];
  /** Colour of the bed or lid, device 0..1. @default 0.97 */
  readonly bed?: number | Rgb;
  /** Between and around the patches, device 0..1. @default 0.93 */
  readonly card?: number | Rgb;
  /** How far the card reaches beyond patches and discs, mm of the layout. @default 4 */
  readonly marginMm?: number;
  /** The discs, device 0..1. @default 0.15 */
  readonly disc?: number;
  /** Discs that are drawn, by number. @default all */
  readonly discs?: readonly number[];
  /** Things that lie on the target, mm of the layout; their colour. */
  readonly covered?: readonly { readonly boxMm: BoxMm; readonly colour?: number | Rgb }[];
  /** What lies beside and below the target. */
  readonly beside?: readonly Clutter[];
  /** Standard deviation of the blur, px. @default 0.7 */
  readonly blurPx?: number;
  /** Standard deviation of one pixel, device 0..1. @default 0 */
  readonly noise?: number;
  /** The light falls by this share from the scan's top left to its bottom right. @default 0 */
  readonly gradient?: number;
  /** @default 8 */
  readonly bits?: 8 | 16;
  /** @default 1 */
  readonly seed?: number;
}

export interface DrawnTarget extends DeviceRaster {
  /** True places of the layout's four points (of the first target), px; pixel centres at integer + 0.5. */
  readonly pointsPx: readonly [Point, Point, Point, Point];
  /** Layout mm → px, of the first target. */
  readonly toPx: Homography;
  /** The same of every target: the first, then those of `moreAtMm`. */
  readonly allToPx: readonly Homography[];
}

/** @param colours Device values 0..1 of each patch; a patch without is drawn in mid grey */
export function drawTarget(
  layout: TargetLayout,
  colours: ReadonlyMap<string, Rgb>,
  drawing: TargetDrawing,
): DrawnTarget {
  const { dpi, marginMm = 4, blurPx = 0.7, seed = 1 } = drawing;
  const pxPerMm = dpi / 25.4;
  const outline = outlineOf(layout);
  const maps = placesOf(drawing, outline);
  const size = drawing.sizeMm ?? sizeAround(maps[0], outline, marginMm);
  const shift: Point = drawing.centreMm === undefined ? [size[0] / 2 + 0.137, size[1] / 2 - 0.211] : [0, 0];
  const canvas = new Canvas(Math.round(size[0] * pxPerMm), Math.round(size[1] * pxPerMm), blurPx);
  canvas.fill(rgbOf(drawing.bed ?? 0.97));
  const random = seededRandom(seed);
  for (const clutter of drawing.beside ?? []) drawClutter(canvas, clutter, size, pxPerMm, random);
  const allToPx = maps.map((toMm) => {
    const scaled = (p: Point): Point => {
      const [x, y] = mapPoint(toMm, p);
      return [(x + shift[0]) * pxPerMm, (y + shift[1]) * pxPerMm];
    };
    const toPx = homography(cornersOf(outline), cornersOf(outline).map(scaled));
    paintTarget(canvas, layout, colours, drawing, toPx);
    return toPx;
  });
  canvas.light(drawing.gradient ?? 0);
  canvas.noise(drawing.noise ?? 0, seed);
  const [a, b, c, d] = layout.pointsMm.map((p) => mapPoint(allToPx[0], p));
  return { ...canvas.raster(drawing.bits ?? 8, dpi), pointsPx: [a, b, c, d], toPx: allToPx[0], allToPx };
}

/** A scan with no target on it. */
export function drawScene(sizeMm: PointMm, drawing: Omit<TargetDrawing, 'sizeMm' | 'centreMm'>): DeviceRaster {
  const pxPerMm = drawing.dpi / 25.4;
  const canvas = new Canvas(Math.round(sizeMm[0] * pxPerMm), Math.round(sizeMm[1] * pxPerMm), drawing.blurPx ?? 0.7);
  canvas.fill(rgbOf(drawing.bed ?? 0.97));
  const random = seededRandom(drawing.seed ?? 1);
  for (const clutter of drawing.beside ?? []) drawClutter(canvas, clutter, sizeMm, pxPerMm, random);
  canvas.light(drawing.gradient ?? 0);
  canvas.noise(drawing.noise ?? 0, drawing.seed ?? 1);
  return canvas.raster(drawing.bits ?? 8, drawing.dpi);
}

/** What a plain device makes of colours: sRGB's matrix and curve, a little stray light, nothing clipped. */
export function plainDevice(patches: ReadonlyMap<string, { readonly lab: LabD50 }>): Map<string, Rgb> {
  return new Map([...patches].map(([id, { lab }]) => [id, deviceOf(lab)]));
}

export function deviceOf(lab: LabD50): Rgb {
  const [r, g, b] = times(XYZ_D50_TO_RGB, labToXyz(lab)).map((v) =>
    Math.min(0.99, srgbEncode(0.005 + 0.96 * Math.max(0, v))),
  );
  return [r, g, b];
}

type Outline = readonly [left: number, top: number, right: number, bottom: number];

function outlineOf(layout: TargetLayout): Outline {
  const reach = layout.fiducial?.radiusMm ?? 0;
  const boxes = [
    ...layout.patches.map((patch) => patch.boxMm),
    ...layout.pointsMm.map(([x, y]) => [x - reach, y - reach, 2 * reach, 2 * reach] as const),
  ];
  return [
    Math.min(...boxes.map((b) => b[0])),
    Math.min(...boxes.map((b) => b[1])),
    Math.max(...boxes.map((b) => b[0] + b[2])),
    Math.max(...boxes.map((b) => b[1] + b[3])),
  ];
}

function cornersOf([left, top, right, bottom]: Outline, margin = 0): Point[] {
  return [
    [left - margin, top - margin],
    [right + margin, top - margin],
    [right + margin, bottom + margin],
    [left - margin, bottom + margin],
  ];
}

/** Layout mm → scan mm for each target. */
function placesOf(drawing: TargetDrawing, outline: Outline): Homography[] {
  const { turnDeg = 0, mirrored = false, scale = 1, stretch = 1, perspective = 0 } = drawing;
  const [left, top, right, bottom] = outline;
  const turn = (turnDeg * Math.PI) / 180;
  const half: Point = [(right - left) / 2, (bottom - top) / 2];
  const from = cornersOf(outline);
  return [drawing.centreMm ?? [0, 0], ...(drawing.moreAtMm ?? [])].map((centre) => {
    const to = from.map(([x, y], k): Point => {
      const nearer = 1 - (k === 2 ? perspective : 0);
      const u = (x - left - half[0]) * scale * Math.sqrt(stretch) * nearer * (mirrored ? -1 : 1);
      const v = ((y - top - half[1]) * scale * nearer) / Math.sqrt(stretch);
      return [centre[0] + Math.cos(turn) * u - Math.sin(turn) * v, centre[1] + Math.sin(turn) * u + Math.cos(turn) * v];
    });
    return homography(from, to);
  });
}

function sizeAround(toMm: Homography, outline: Outline, marginMm: number): PointMm {
  const corners = cornersOf(outline, marginMm).map((p) => mapPoint(toMm, p));
  const reach = (k: 0 | 1): number => 2 * Math.max(...corners.map((p) => Math.abs(p[k]))) + 16;
  return [reach(0), reach(1)];
}

function paintTarget(
  canvas: Canvas,
  layout: TargetLayout,
  colours: ReadonlyMap<string, Rgb>,
  drawing: TargetDrawing,
  toPx: Homography,
): void {
  const back = invertHomography(toPx);
  const outline = outlineOf(layout);
  const [left, top, right, bottom] = outline;
  const margin = drawing.marginMm ?? 4;
  canvas.paintBox(
    toPx,
    back,
    [left - margin, top - margin, right - left + 2 * margin, bottom - top + 2 * margin],
    rgbOf(drawing.card ?? 0.93),
  );
  for (const { id, boxMm } of layout.patches) canvas.paintBox(toPx, back, boxMm, colours.get(id) ?? [0.5, 0.5, 0.5]);
  const { fiducial } = layout;
  if (fiducial !== undefined) {
    const shown = drawing.discs ?? [0, 1, 2, 3];
    for (const k of shown) {
      canvas.paintDisc(toPx, back, layout.pointsMm[k], fiducial.radiusMm, rgbOf(drawing.disc ?? 0.15));
      if (k === 0) canvas.paintDisc(toPx, back, layout.pointsMm[k], fiducial.eyeMm, rgbOf(drawing.card ?? 0.93));
    }
  }
  if (layout.slantedEdge !== undefined) paintEdge(canvas, toPx, layout.slantedEdge.boxMm, rgbOf(drawing.disc ?? 0.15));
  for (const { boxMm, colour } of drawing.covered ?? []) canvas.paintBox(toPx, back, boxMm, rgbOf(colour ?? 0.75));
}

/** Dark left of a line through the box's middle that leans by 5°. */
function paintEdge(canvas: Canvas, toPx: Homography, [x, y, w, h]: BoxMm, dark: Rgb): void {
  const lean = (Math.tan((5 * Math.PI) / 180) * h) / 2;
  const from: Point[] = [
    [0, 0],
    [1, 0],
    [1, 1],
    [0, 1],
  ];
  const slanted = homography(from, [
    [x, y],
    [x + w / 2 + lean, y],
    [x + w / 2 - lean, y + h],
    [x, y + h],
  ]);
  const both = homography(
    from,
    from.map((p) => mapPoint(toPx, mapPoint(slanted, p))),
  );
  canvas.paintBox(both, invertHomography(both), [0, 0, 1, 1], dark);
}

function rgbOf(value: number | Rgb): Rgb {
  return typeof value === 'number' ? [value, value, value] : value;
}
