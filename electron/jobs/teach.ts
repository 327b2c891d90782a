/** Scans with a known target and a card in them → the card's own reference. */
import type { PointMm, TargetLayout, TargetReference } from '../../analysis/calibrate/calibration.ts';
import { likelyColours } from '../../analysis/calibrate/card/likelyColours.ts';
import { CalibrationError } from '../../analysis/calibrate/calibrationError.ts';
import { type Frame, patchReader, surroundReader } from '../../analysis/calibrate/readPatches.ts';
import { teachCard, type TeachingScan } from '../../analysis/calibrate/teach.ts';
import { homography, mapPoint, type Point } from '../../analysis/raster/homography.ts';
import type { BoxPx } from '../scans/readScan.ts';
import { calibrateTarget } from './calibrateTarget.ts';
import { JobError } from './jobError.ts';
import { givenPoints, locateTarget } from './locateTarget.ts';
import { scanBands } from './scanBands.ts';
import type { CalibrateTask } from './tasks.ts';

export interface TeachRequest {
  /** Each a scan with the known target and the card in it; where the known target is, and its values, as for calibrating. */
  readonly scans: readonly Omit<CalibrateTask, 'task'>[];
  /** The card's layout; the printed one of this program unless told. */
  readonly card: TargetLayout;
}

export interface Taught {
  readonly reference: TargetReference;
  /** What a person should know, one line each. */
  readonly warnings: readonly string[];
}

/** Below this a disc of 2.5 mm has too few pixels to be found surely. */
const LEAST_DPI = 140;
/** A printer that keeps the size keeps it within a third of this. */
const MOST_RESIZED = 0.02;
/** "Fit to page" and its kind: sought only to tell a person why the card is not found. */
const RESIZED = [0.9, 0.8] as const;

/** @throws JobError 'target-not-found', 'card-not-found', 'card-overlaps', 'card-clipped', 'card-covered', 'card-resized', 'card-too-coarse' */
export async function teachFromScans({ scans, card }: TeachRequest): Promise<Taught> {
  const warnings: string[] = [];
  const seen: TeachingScan[] = [];
  for (const scan of scans) seen.push(await teachingScan({ task: 'calibrate', ...scan }, card, warnings));
  try {
    return { reference: teachCard(seen), warnings };
  } catch (error) {
    if (error instanceof CalibrationError) throw new JobError(error.code, error.message);
    throw error;
  }
}

async function teachingScan(task: CalibrateTask, card: TargetLayout, warnings: string[]): Promise<TeachingScan> {
  const { info, dpi, layout } = task;
  if (dpi < LEAST_DPI) {
    throw new JobError(
      'card-too-coarse',
      `${info.file}: ${dpi} dpi is too coarse to teach a card; expected at least 150, better 300. Scan both anew.`,
    );
  }
  // Where the pieces lie is told first: what is wrong with that should not wait for a fit.
  const { pointsPx } = task.pointsMm ? givenPoints(task.pointsMm, dpi) : await locateTarget(task);
  const cardPx = await locateCard(task, card);
  refuseResized(task, card, cardPx, pointsPx);
  refuseOverlap(task, card, cardPx, pointsPx);
  const { calibration } = await calibrateTarget(task);
  if (calibration.judgement === 'poor') {
    warnings.push(
      `${info.file}: the calibration by "${layout.name}" is poor (left-out median ${(calibration.leftOutMedian ?? 0).toFixed(1)} ΔE00); ` +
        `the card learns its errors, and its u says so. Mend that first if you can.`,
    );
  }
  const { widthPx, heightPx, bits } = info;
  const frame: Frame = { widthPx, heightPx, bits, dpi, originPx: [0, 0] };
  const [toCard, toKnown] = [homography(card.pointsMm, cardPx), homography(layout.pointsMm, pointsPx)];
  const patches = patchReader(frame, card, toCard);
  const bare = surroundReader(frame, card, toCard);
  const knownBare = surroundReader(frame, layout, toKnown);
  for await (const band of scanBands(info, dpi, around([patches.boxPx, bare.boxPx, knownBare.boxPx]))) {
    for (const reader of [patches, bare, knownBare]) reader.take(band);
  }
  return { calibration, card: patches.done(), cardSurround: bare.done(), knownSurround: knownBare.done() };
}

async function locateCard(task: CalibrateTask, card: TargetLayout): Promise<readonly Point[]> {
  const { info, dpi } = task;
  const reference = likelyColours(card);
  const sought = (layout: TargetLayout) => locateTarget({ info, dpi, layout, reference });
  try {
    return (await sought(card)).pointsPx;
  } catch (error) {
    if (!(error instanceof JobError)) throw error;
    for (const size of RESIZED) {
      const found = await sought(resized(card, size)).catch(() => null);
      if (found !== null) throw resizedError(task, sizeOf(card, found.pointsPx, task.dpi));
    }
    if (error.code !== 'target-not-found' && error.code !== 'other-layout')
      throw new JobError(error.code, `The card that is to be taught: ${error.message}`);
    throw new JobError(
      'card-not-found',
      `${info.file}: the card that is to be taught ("${card.name}") was not found in this scan, the known target was; ` +
        `expected both. Lay them side by side, whole and face down, and scan both at once.`,
    );
  }
}

function resized(layout: TargetLayout, size: number): TargetLayout {
  const point = ([x, y]: PointMm): PointMm => [x * size, y * size];
  const [a, b, c, d] = layout.pointsMm;
  return {
    ...layout,
    pointsMm: [point(a), point(b), point(c), point(d)],
    ...(layout.fiducial && {
      fiducial: {
        ...layout.fiducial,
        radiusMm: layout.fiducial.radiusMm * size,
        eyeMm: layout.fiducial.eyeMm * size,
      },
    }),
    patches: layout.patches.map(({ boxMm: [x, y, w, h], ...patch }) => ({
      ...patch,
      boxMm: [x * size, y * size, w * size, h * size],
    })),
  };
}

/** Distances between the four points in the scan over those of the layout. */
function sizeOf({ pointsMm }: TargetLayout, pointsPx: readonly Point[], dpi: number): number {
  const around = (points: readonly Point[]): number =>
    points.reduce((sum, [x, y], k) => {
      const [u, v] = points[(k + 1) % points.length];
      return sum + Math.hypot(u - x, v - y);
    }, 0);
  return ((around(pointsPx) / around(pointsMm)) * 25.4) / dpi;
}

/**
 * By the scan's own dpi; where that says so, a known target with discs may show that it is the dpi that is wrong. A chart found by
 * its grid cannot: charts of one layout are made in several sizes.
 */
function refuseResized(
  task: CalibrateTask,
  card: TargetLayout,
  cardPx: readonly Point[],
  knownPx: readonly Point[],
): void {
  const size = sizeOf(card, cardPx, task.dpi);
  if (Math.abs(size - 1) <= MOST_RESIZED) return;
  const sized = task.layout.fiducial !== undefined && task.pointsMm === null;
  const against = sized ? size / sizeOf(task.layout, knownPx, task.dpi) : size;
  if (Math.abs(against - 1) > MOST_RESIZED) throw resizedError(task, against);
}

function resizedError({ info }: CalibrateTask, size: number): JobError {
  return new JobError(
    'card-resized',
    `${info.file}: the card was printed at ${(100 * size).toFixed(1)} % of its size; expected 100 %. ` +
      `Print it again with scale 100 % (“actual size”) and hold a ruler to its 50 mm.`,
  );
}

function refuseOverlap(
  { info, layout }: CalibrateTask,
  card: TargetLayout,
  cardPx: readonly Point[],
  knownPx: readonly Point[],
): void {
  const [a, b] = [outline(card, cardPx), outline(layout, knownPx)];
  if (apart(a, b) || apart(b, a)) return;
  throw new JobError(
    'card-overlaps',
    `${info.file}: the card lies on the known target "${layout.name}", or that on the card; expected them side by side. Move one and scan anew.`,
  );
}

/** Corners of what is printed, px. */
function outline(layout: TargetLayout, pointsPx: readonly Point[]): Point[] {
  const reach = layout.fiducial?.radiusMm ?? 0;
  const boxes = layout.patches.map(({ boxMm }) => boxMm);
  const xs = [...layout.pointsMm.flatMap(([x]) => [x - reach, x + reach]), ...boxes.flatMap(([x, , w]) => [x, x + w])];
  const ys = [
    ...layout.pointsMm.flatMap(([, y]) => [y - reach, y + reach]),
    ...boxes.flatMap(([, y, , h]) => [y, y + h]),
  ];
  const [left, top, right, bottom] = [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
  const toPx = homography(layout.pointsMm, pointsPx);
  return [
    [left, top],
    [right, top],
    [right, bottom],
    [left, bottom],
  ].map(([x, y]) => mapPoint(toPx, [x, y]));
}

/** Whether one of the first's sides has all of the second outside of it: so it is with convex shapes that do not meet. */
function apart(a: readonly Point[], b: readonly Point[]): boolean {
  return a.some((p, k) => {
    const q = a[(k + 1) % a.length];
    return b.every(([x, y]) => (q[0] - p[0]) * (y - p[1]) - (q[1] - p[1]) * (x - p[0]) < 0);
  });
}

function around(boxes: readonly BoxPx[]): BoxPx {
  const left = Math.min(...boxes.map((b) => b[0]));
  const top = Math.min(...boxes.map((b) => b[1]));
  const right = Math.max(...boxes.map((b) => b[0] + b[2]));
  const bottom = Math.max(...boxes.map((b) => b[1] + b[3]));
  return [left, top, right - left, bottom - top];
}
