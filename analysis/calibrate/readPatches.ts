/** A target's patches and its unprinted card, read off a scan as device values. */
import { invertHomography, mapBox, mapPoint, type Homography, type Point } from '../raster/homography.ts';
import type { DeviceRaster } from '../raster/raster.ts';
import type { PatchReading, SurroundReading, TargetLayout } from './calibration.ts';
import { CalibrationError } from './calibrationError.ts';
import { patchEvenness } from './evenness.ts';
import { fillFreeCard } from './freeCard.ts';
import { PixelList } from './pixelList.ts';
import { trimmedStatistics } from './trimmedStatistics.ts';

/** Share of a patch's width and height that is read: rims carry blur, misplacement and stray light. */
const INNER = 0.6;
/** Fewer pixels than this have no trimmed mean worth the name. */
const FEWEST_PIXELS = 16;
/** Share of the pixels left out at either end: dust is light or dark. */
const PATCH_TRIM = 0.1;
/** Pixels of a quarter of a patch that are looked at for evenness: enough for a mean, quick at any resolution. */
const QUARTER_PIXELS = 100;
/** On bare card dirt, printed labels and hairs are more likely. */
const SURROUND_TRIM = 0.25;
/** Side of the blocks that bare card is gathered in, and the fewest pixels that make one. */
const BLOCK_MM = 8;
const FEWEST_BLOCK_PIXELS = 30;
/** Bare card is read at no more than this, which is plenty for means. */
const SURROUND_DPI = 300;

/** What is known of a raster before any of its pixels is seen. */
export type Frame = Omit<DeviceRaster, 'data'>;

/** Reads a raster that comes in bands, top to bottom: a target may lie anywhere in a page that is too large to be held whole. */
export interface BandReader<T> {
  /** Left, top, width and height of what is looked at, px of the raster; no more needs to come. */
  readonly boxPx: readonly [x: number, y: number, width: number, height: number];
  take(band: DeviceRaster): void;
  done(): T;
}

/**
 * Trimmed means of each patch's inner 60 %, device 0..1.
 * @param toPx layout mm → raster pixels (pixel centres at integer + 0.5); any turn, scale or perspective
 * Throws a CalibrationError when a patch lies outside the raster or covers too few pixels.
 */
export function patchReader(frame: Frame, layout: TargetLayout, toPx: Homography): BandReader<PatchReading[]> {
  const top = frame.bits === 8 ? 255 : 65535;
  const patches = layout.patches.map(({ id, boxMm, grey }) => {
    const [x, y, w, h] = boxMm;
    const centre: Point = [x + w / 2, y + h / 2];
    const corner = (sx: number, sy: number): Point =>
      mapPoint(toPx, [centre[0] + (sx * INNER * w) / 2, centre[1] + (sy * INNER * h) / 2]);
    const corners = [corner(-1, -1), corner(1, -1), corner(1, 1), corner(-1, 1)];
    if (corners.some(([px, py]) => px < 0 || py < 0 || px > frame.widthPx || py > frame.heightPx)) {
      throw new CalibrationError(
        'patches-outside-scan',
        `Patch ${id} of the target "${layout.name}" lies outside the scan of ${frame.widthPx} × ${frame.heightPx} px ` +
          `(its middle would be at ${place(mapPoint(toPx, centre))}). Check the layout's four points, or scan the whole target.`,
      );
    }
    const middle = mapPoint(toPx, centre);
    const box = clippedBox(corners, frame);
    const stride = Math.max(1, Math.floor(Math.sqrt(((box[2] - box[0]) * (box[3] - box[1])) / (4 * QUARTER_PIXELS))));
    const read = ({ pixels, quarters }: GatheredPatch): PatchReading => {
      if (pixels.pixels < FEWEST_PIXELS) {
        throw new CalibrationError(
          'patches-too-small',
          `Patch ${id} of the target "${layout.name}" is ${w} × ${h} mm; its inner 60 % covers ${pixels.pixels} pixels ` +
            `at ${frame.dpi} dpi, and at least ${FEWEST_PIXELS} are needed. Scan the target at a higher resolution.`,
        );
      }
      const { mean, sd, clippedShare } = trimmedStatistics(pixels.taken(), top, PATCH_TRIM);
      return {
        id,
        grey: grey ?? false,
        device: mean,
        sd,
        pixels: pixels.pixels,
        clippedShare,
        centreMm: bedMm(middle, frame),
        evenness: patchEvenness(
          quarters.map((quarter) => quarter.taken()),
          top,
        ),
      };
    };
    return { corners, box, middle, stride, read };
  });
  const readings: PatchReading[] = [];
  const open = new Map<number, GatheredPatch>();
  const finish = (k: number): void => {
    readings[k] = patches[k].read(open.get(k) ?? nothingGathered());
    open.delete(k);
  };
  return {
    boxPx: around(patches.map((p) => p.box)),
    take(band) {
      const bottom = band.originPx[1] - frame.originPx[1] + band.heightPx;
      patches.forEach(({ corners, box, middle, stride }, k) => {
        if (k in readings) return;
        const { pixels, quarters } = open.get(k) ?? nothingGathered();
        gatherInside(corners, box, band, frame, (x, y, from) => {
          pixels.push(band.data, from);
          if (x % stride === 0 && y % stride === 0)
            quarters[(x < middle[0] ? 0 : 1) + (y < middle[1] ? 0 : 2)].push(band.data, from);
        });
        open.set(k, { pixels, quarters });
        // Its pixels are not held longer than they come.
        if (box[3] <= bottom) finish(k);
      });
    },
    done() {
      patches.forEach((_, k) => {
        if (!(k in readings)) finish(k);
      });
      return readings;
    },
  };
}

/**
 * The card's bare stock in blocks of 8 mm: what lies inside the layout's outline and clear of every patch and fiducial
 * (freeCard.ts). Targets without such gaps give few or no readings.
 */
export function surroundReader(frame: Frame, layout: TargetLayout, toPx: Homography): BandReader<SurroundReading[]> {
  const free = fillFreeCard(layout, 2 * (25.4 / frame.dpi));
  const back = invertHomography(toPx);
  const stride = Math.max(1, Math.round(frame.dpi / SURROUND_DPI));
  const across = Math.ceil(free.widthMm / BLOCK_MM);
  const [left, top, right, bottom] = clippedBox(mapBox(toPx, [...free.originMm, free.widthMm, free.heightMm]), frame);
  const blocks = new Map<number, { readonly pixels: PixelList; x: number; y: number }>();
  return {
    boxPx: [left, top, right - left, bottom - top],
    take(band) {
      const [bandLeft, bandTop] = within(band, frame);
      const from = top + Math.max(0, Math.ceil((bandTop - top) / stride)) * stride;
      for (let y = from; y < Math.min(bottom, bandTop + band.heightPx); y += stride) {
        for (let x = left; x < right; x += stride) {
          const [u, v] = mapPoint(back, [x + 0.5, y + 0.5]);
          if (!free.holds(u, v)) continue;
          const at =
            Math.floor((v - free.originMm[1]) / BLOCK_MM) * across + Math.floor((u - free.originMm[0]) / BLOCK_MM);
          const block = blocks.get(at) ?? { pixels: new PixelList(), x: 0, y: 0 };
          blocks.set(at, block);
          block.pixels.push(band.data, 3 * ((y - bandTop) * band.widthPx + x - bandLeft));
          block.x += x + 0.5;
          block.y += y + 0.5;
        }
      }
    },
    done() {
      const scale = frame.bits === 8 ? 255 : 65535;
      const readings: SurroundReading[] = [];
      for (const { pixels, x, y } of blocks.values()) {
        const n = pixels.pixels;
        if (n < FEWEST_BLOCK_PIXELS) continue;
        const { mean, clippedShare } = trimmedStatistics(pixels.taken(), scale, SURROUND_TRIM);
        if (clippedShare > 0.005) continue;
        readings.push({ device: mean, pixels: n, placeMm: bedMm([x / n, y / n], frame) });
      }
      return readings;
    },
  };
}

/** All pixels of a patch, and some of each of its quarters. */
interface GatheredPatch {
  readonly pixels: PixelList;
  readonly quarters: readonly PixelList[];
}

function nothingGathered(): GatheredPatch {
  return { pixels: new PixelList(), quarters: [new PixelList(), new PixelList(), new PixelList(), new PixelList()] };
}

/** Where a band's top-left pixel lies in the raster. */
function within(band: DeviceRaster, frame: Frame): readonly [number, number] {
  return [band.originPx[0] - frame.originPx[0], band.originPx[1] - frame.originPx[1]];
}

/**
 * The band's pixels whose centres lie inside a convex quadrilateral, by the signs of its edges: their places in the raster
 * and the index of their red in the band.
 */
function gatherInside(
  corners: readonly Point[],
  [left, top, right, bottom]: Box,
  band: DeviceRaster,
  frame: Frame,
  take: (x: number, y: number, from: number) => void,
): void {
  const [bandLeft, bandTop] = within(band, frame);
  const turn = Math.sign(side(corners[0], corners[1], corners[2]));
  const holds = (x: number, y: number): boolean => {
    const p: Point = [x + 0.5, y + 0.5];
    for (let k = 0; k < 4; k++) if (turn * side(corners[k], corners[(k + 1) % 4], p) < 0) return false;
    return true;
  };
  for (let y = Math.max(top, bandTop); y < Math.min(bottom, bandTop + band.heightPx); y++) {
    // The row's span between the edges; its ends are then asked for themselves, so that rounding decides nothing.
    let from = left;
    let to = right;
    for (let k = 0; k < 4; k++) {
      const [a, b] = [corners[k], corners[(k + 1) % 4]];
      const rise = -turn * (b[1] - a[1]);
      const at = a[0] + ((b[0] - a[0]) * (y + 0.5 - a[1])) / (b[1] - a[1]) - 0.5;
      if (rise > 0 && at > from) from = Math.floor(at);
      if (rise < 0 && at < to) to = Math.ceil(at) + 1;
    }
    from = Math.max(left, from - 1);
    to = Math.min(right, to + 1);
    while (from < to && !holds(from, y)) from++;
    while (to > from && !holds(to - 1, y)) to--;
    for (let x = from; x < to; x++) take(x, y, 3 * ((y - bandTop) * band.widthPx + x - bandLeft));
  }
}

function side(a: Point, b: Point, p: Point): number {
  return (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]);
}

type Box = readonly [left: number, top: number, right: number, bottom: number];

/** The bounding box in whole pixels of the raster. */
function clippedBox(points: readonly Point[], frame: Frame): Box {
  const xs = points.map((p) => p[0]);
  const ys = points.map((p) => p[1]);
  return [
    Math.max(0, Math.floor(Math.min(...xs))),
    Math.max(0, Math.floor(Math.min(...ys))),
    Math.min(frame.widthPx, Math.ceil(Math.max(...xs))),
    Math.min(frame.heightPx, Math.ceil(Math.max(...ys))),
  ];
}

function around(boxes: readonly Box[]): readonly [x: number, y: number, width: number, height: number] {
  const left = Math.min(...boxes.map((b) => b[0]));
  const top = Math.min(...boxes.map((b) => b[1]));
  const right = Math.max(...boxes.map((b) => b[2]));
  const bottom = Math.max(...boxes.map((b) => b[3]));
  return [left, top, right - left, bottom - top];
}

function bedMm(px: Point, scan: Frame): Point {
  return [((px[0] + scan.originPx[0]) * 25.4) / scan.dpi, ((px[1] + scan.originPx[1]) * 25.4) / scan.dpi];
}

function place(px: Point): string {
  return `${px[0].toFixed(0)}, ${px[1].toFixed(0)} px`;
}
