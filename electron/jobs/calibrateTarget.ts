/** A target's scan → calibration: find its four points, read its patches, fit. Runs in a worker. */
import { linearise } from '../../analysis/calibrate/apply.ts';
import { fitCalibration } from '../../analysis/calibrate/fit.ts';
import { readPatches, readSurround } from '../../analysis/calibrate/readPatches.ts';
import { discBlurPx } from '../../analysis/locate/discBlur.ts';
import { findFiducials } from '../../analysis/locate/fiducials.ts';
import { homography, type Point } from '../../analysis/raster/homography.ts';
import type { DeviceRaster } from '../../analysis/raster/raster.ts';
import { readScan } from '../scans/readScan.ts';
import { compiled } from './compiled.ts';
import { JobError } from './jobError.ts';
import type { CalibrateResult, CalibrateTask } from './tasks.ts';

export async function calibrateTarget(task: CalibrateTask): Promise<CalibrateResult> {
  const { info, dpi, layout, reference } = task;
  const scan = await readScan(info.file, null, dpi, info);
  const pointsPx = task.pointsMm
    ? task.pointsMm.map(([x, y]): Point => [(x * dpi) / 25.4, (y * dpi) / 25.4])
    : locateTarget(scan, task);
  const toPx = homography(layout.pointsMm, pointsPx);
  const readings = readPatches(scan, layout, toPx);
  const calibration = fitCalibration(readings, reference, { surround: readSurround(scan, layout, toPx) });
  return { calibration, pointsPx, scannerBlurMm: await blurOfDiscs(task, pointsPx, calibration) };
}

function locateTarget(scan: DeviceRaster, task: CalibrateTask): readonly Point[] {
  const { layout, info } = task;
  if (!layout.fiducial) {
    throw new JobError(
      'target-not-found',
      `${info.file}: the layout "${layout.name}" has no fiducials to be found by; ` +
        `give the sheet's target "pointsMm": its four corners in the scan, in mm.`,
    );
  }
  const grey = new Float32Array(scan.widthPx * scan.heightPx);
  const scale = 1 / (3 * (scan.bits === 8 ? 255 : 65535));
  for (let i = 0; i < grey.length; i++) {
    grey[i] = (scan.data[3 * i] + scan.data[3 * i + 1] + scan.data[3 * i + 2]) * scale;
  }
  const found = findFiducials({ grey, widthPx: scan.widthPx, heightPx: scan.heightPx, dpi: scan.dpi }, layout);
  if ('problem' in found) throw new JobError('target-not-found', `${info.file}: ${found.problem}`);
  return found.pointsPx;
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
