/** A target's scan → calibration: find its four points, read its patches, fit. Runs in a worker. */
import type { Calibration, Caution } from '../../analysis/calibrate/calibration.ts';
import { CalibrationError } from '../../analysis/calibrate/calibrationError.ts';
import { blurCaution, sharpenedCaution } from '../../analysis/calibrate/cautions.ts';
import { COLOURLESS_SCAN, isColourless } from '../../analysis/calibrate/colourless.ts';
import { fitCalibration } from '../../analysis/calibrate/fit.ts';
import { type Frame, patchReader, surroundReader } from '../../analysis/calibrate/readPatches.ts';
import { scaleCounter } from '../../analysis/calibrate/scaleUse.ts';
import { sizeCaution } from '../../analysis/calibrate/sizeCaution.ts';
import { type WhiteSheet, whiteSheetReader } from '../../analysis/calibrate/whiteSheet.ts';
import { homography, type Point } from '../../analysis/raster/homography.ts';
import type { BoxPx } from '../scans/readScan.ts';
import { keepsItsScale } from '../scans/otherSettings.ts';
import { scanBands } from './scanBands.ts';
import { refuseMisreading } from './doubtfulTarget.ts';
import { givenPoints, locateTarget } from './locateTarget.ts';
import { targetEdges } from './targetBlur.ts';
import type { CalibrateResult, CalibrateTask } from './tasks.ts';

export async function calibrateTarget(task: CalibrateTask): Promise<CalibrateResult> {
  const { info, dpi, layout, reference } = task;
  const { pointsPx, ...located } = task.pointsMm ? givenPoints(task.pointsMm, dpi) : await locateTarget(task);
  const toPx = homography(layout.pointsMm, pointsPx);
  const { widthPx, heightPx, bits } = info;
  const frame: Frame = { widthPx, heightPx, bits, dpi, originPx: [0, 0] };
  const patches = await patchesWithin(task, frame, pointsPx);
  const bare = surroundReader(frame, layout, toPx);
  const scale = keepsItsScale(info) ? scaleCounter(bits) : null;
  for await (const band of scanBands(info, dpi, unionOf(patches.boxPx, bare.boxPx))) {
    patches.take(band);
    bare.take(band);
    scale?.take(band);
  }
  const readings = patches.done();
  if (isColourless(readings.flatMap(({ device }) => [...device])))
    throw new CalibrationError('no-colour', COLOURLESS_SCAN);
  await refuseMisreading(task, frame, pointsPx, readings);
  const white = await whiteSheetOf(task.white);
  const calibration = fitCalibration(readings, reference, { surround: bare.done(), white });
  const edges = await targetEdges(task, pointsPx, calibration);
  const scannerBlurMm = edges?.blurMm ?? null;
  const cautions = [
    blurCaution(scannerBlurMm, dpi),
    sharpenedCaution(edges?.overshoot ?? null),
    sizeCaution(layout, pointsPx, dpi),
  ];
  return {
    calibration: withCautions(calibration, cautions),
    pointsPx,
    located,
    scannerBlurMm,
    ...(scale && { scale: scale.done() }),
  };
}

/** Patches that would lie outside the scan are refused with the order or the layout that fits, where one does. */
async function patchesWithin(
  task: CalibrateTask,
  frame: Frame,
  pointsPx: readonly Point[],
): Promise<ReturnType<typeof patchReader>> {
  try {
    return patchReader(frame, task.layout, homography(task.layout.pointsMm, pointsPx));
  } catch (error) {
    await refuseMisreading(task, frame, pointsPx, []);
    throw error;
  }
}

async function whiteSheetOf(white: CalibrateTask['white']): Promise<WhiteSheet | null> {
  if (white === null) return null;
  const { info, dpi } = white;
  const { widthPx, heightPx, bits } = info;
  const sheet = whiteSheetReader({ widthPx, heightPx, bits, dpi, originPx: [0, 0] }, info.file);
  for await (const band of scanBands(info, dpi, [0, 0, widthPx, heightPx])) sheet.take(band);
  return sheet.done();
}

/** Of the scan rather than of its colours: they leave the judgement as it is. */
function withCautions(calibration: Calibration, more: readonly (Caution | null)[]): Calibration {
  const told = more.filter((caution) => caution !== null);
  return told.length === 0 ? calibration : { ...calibration, cautions: [...calibration.cautions, ...told] };
}

function unionOf(a: BoxPx, b: BoxPx): BoxPx {
  const [left, top] = [Math.min(a[0], b[0]), Math.min(a[1], b[1])];
  return [left, top, Math.max(a[0] + a[2], b[0] + b[2]) - left, Math.max(a[1] + a[3], b[1] + b[3]) - top];
}
