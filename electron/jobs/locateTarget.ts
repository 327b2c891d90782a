/** Where a target's four points lie in its scan: found on shrunk bands, then measured in windows of the scan itself. */
import { fiducialWindow, measureFiducials, searchFactor, searchFiducials } from '../../analysis/locate/fiducials.ts';
import { greyOf, type GreyRaster, joinBands, shrink } from '../../analysis/locate/greyRaster.ts';
import type { Point } from '../../analysis/raster/homography.ts';
import { readScan } from '../scans/readScan.ts';
import { JobError } from './jobError.ts';
import { scanBands } from './scanBands.ts';
import type { CalibrateTask, LocatedBy } from './tasks.ts';

export interface Located extends LocatedBy {
  readonly pointsPx: readonly Point[];
}

export function givenPoints(pointsMm: NonNullable<CalibrateTask['pointsMm']>, dpi: number): Located {
  const pointsPx = pointsMm.map(([x, y]): Point => [(x * dpi) / 25.4, (y * dpi) / 25.4]);
  return { pointsPx, by: 'person', score: 1, words: 'where a person put its four points' };
}

/** The search sees the page many times smaller, put together from bands; each disc's middle is then measured in its own window. */
export async function locateTarget(task: CalibrateTask): Promise<Located> {
  const { layout, info, dpi } = task;
  if (!layout.fiducial) {
    throw new JobError(
      'target-not-found',
      `${info.file}: the layout "${layout.name}" has no fiducials to be found by; ` +
        `give the sheet's target "pointsMm": its four corners in the scan, in mm.`,
    );
  }
  const factor = searchFactor(layout, dpi);
  const small: GreyRaster[] = [];
  for await (const band of scanBands(info, dpi, [0, 0, info.widthPx, info.heightPx], factor)) {
    small.push(shrink(greyOf(band), factor));
  }
  const seen = searchFiducials(joinBands(small), factor, layout);
  if ('problem' in seen) throw new JobError('target-not-found', `${info.file}: ${seen.problem}`);
  const windows: GreyRaster[] = [];
  for (const disc of seen.discs) {
    windows.push(greyOf(await readScan(info.file, fiducialWindow(disc), dpi, info)));
  }
  const found = measureFiducials(seen, windows, layout);
  if ('problem' in found) throw new JobError('target-not-found', `${info.file}: ${found.problem}`);
  return { pointsPx: found.pointsPx, by: 'fiducials', score: found.score, words: 'by its four discs' };
}
