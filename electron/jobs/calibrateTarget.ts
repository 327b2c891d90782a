/** A target's scan → calibration: find its four points, read its patches, fit. Runs in a worker. */
import { fitCalibration } from '../../analysis/calibrate/fit.ts';
import { type Frame, patchReader, surroundReader } from '../../analysis/calibrate/readPatches.ts';
import { homography } from '../../analysis/raster/homography.ts';
import type { BoxPx } from '../scans/readScan.ts';
import { scanBands } from './scanBands.ts';
import { givenPoints, locateTarget } from './locateTarget.ts';
import { targetBlurMm } from './targetBlur.ts';
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
  return { calibration, pointsPx, located, scannerBlurMm: await targetBlurMm(task, pointsPx, calibration) };
}

function unionOf(a: BoxPx, b: BoxPx): BoxPx {
  const [left, top] = [Math.min(a[0], b[0]), Math.min(a[1], b[1])];
  return [left, top, Math.max(a[0] + a[2], b[0] + b[2]) - left, Math.max(a[1] + a[3], b[1] + b[3]) - top];
}
