/** A target's scan → calibration: find its four points, read its patches, fit. Runs in a worker. */
import { linearise } from '../../analysis/calibrate/apply.ts';
import { fitCalibration } from '../../analysis/calibrate/fit.ts';
import { type Frame, patchReader, surroundReader } from '../../analysis/calibrate/readPatches.ts';
import { discBlurPx } from '../../analysis/locate/discBlur.ts';
import { homography, type Point } from '../../analysis/raster/homography.ts';
import { type BoxPx, readScan } from '../scans/readScan.ts';
import { scanBands } from './scanBands.ts';
import { compiled } from './compiled.ts';
import { givenPoints, locateTarget } from './locateTarget.ts';
import type { CalibrateResult, CalibrateTask } from './tasks.ts';

export async function calibrateTarget(task: CalibrateTask): Promise<CalibrateResult> {
  const { info, dpi, layout, reference } = task;
  const { pointsPx, ...located } = task.pointsMm ? givenPoints(task.pointsMm, dpi) : await locateTarget(task);
  const toPx = homography(layout.pointsMm, pointsPx);
  const { widthPx, heightPx, bits } = info;
  const frame: Frame = { widthPx, heightPx, bits, dpi, originPx: [0, 0] };
  const patches = patchReader(frame, layout, toPx);
  const bare = surroundReader(frame, layout, toPx);
  for await (const band of scanBands(info, dpi, unionOf(patches.boxPx, bare.boxPx))) {
    patches.take(band);
    bare.take(band);
  }
  const calibration = fitCalibration(patches.done(), reference, { surround: bare.done() });
  return { calibration, pointsPx, located, scannerBlurMm: await blurOfDiscs(task, pointsPx, calibration) };
}

function unionOf(a: BoxPx, b: BoxPx): BoxPx {
  const [left, top] = [Math.min(a[0], b[0]), Math.min(a[1], b[1])];
  return [left, top, Math.max(a[0] + a[2], b[0] + b[2]) - left, Math.max(a[1] + a[3], b[1] + b[3]) - top];
}

/** Median over the discs; a disc at the scan's rim or under a finger must not decide. */
async function blurOfDiscs(
  task: CalibrateTask,
  pointsPx: readonly Point[],
  calibration: CalibrateResult['calibration'],
): Promise<number | null> {
  const { layout, info, dpi } = task;
  if (!layout.fiducial) return null;
  const pxPerMm = dpi / 25.4;
  const radiusPx = layout.fiducial.radiusMm * pxPerMm;
  const side = 2 * (radiusPx + 8);
  const sigmas: number[] = [];
  for (const [x, y] of pointsPx) {
    const device = await readScan(info.file, [x - side / 2, y - side / 2, side, side], dpi, info);
    const [left, top] = device.originPx;
    const sigma = discBlurPx(linearise(device, compiled(calibration)), x - left, y - top, radiusPx);
    if (sigma !== null) sigmas.push(sigma);
  }
  if (sigmas.length === 0) return null;
  return sigmas.toSorted((a, b) => a - b)[sigmas.length >> 1] / pxPerMm;
}
