/** A target that was read in a doubtful way is read once more in all other ways, to name the one that fits. */
import type { PatchReading, TargetLayout } from '../../analysis/calibrate/calibration.ts';
import { CalibrationError } from '../../analysis/calibrate/calibrationError.ts';
import {
  explainMisreading,
  isClockwise,
  isDoubtful,
  mirroredScan,
  type OtherReading,
  POINT_ORDERS,
} from '../../analysis/calibrate/misreading.ts';
import { type BandReader, type Frame, patchReader } from '../../analysis/calibrate/readPatches.ts';
import { homography, type Point } from '../../analysis/raster/homography.ts';
import { BUILT_IN_LAYOUTS } from '../sheet/builtIn.ts';
import { scanBands } from './scanBands.ts';
import type { CalibrateTask } from './tasks.ts';

/** @throws CalibrationError when another order of the points or another layout fits, or the patches cannot lie where they were read */
export async function refuseMisreading(
  task: CalibrateTask,
  frame: Frame,
  pointsPx: readonly Point[],
  readings: readonly PatchReading[],
): Promise<void> {
  const { layout, reference } = task;
  const clockwise = isClockwise(pointsPx) === isClockwise(layout.pointsMm);
  if (!isDoubtful(readings, reference)) {
    if (!clockwise) throw mirroredScan();
    return;
  }
  const ways = [
    ...POINT_ORDERS.map((order) => {
      const given = order.map((i) => pointsPx[i]);
      const done = (found: readonly PatchReading[]): OtherReading => ({ by: 'order', order, readings: found });
      return { reader: readerOf(frame, layout, given), done };
    }),
    ...[...BUILT_IN_LAYOUTS]
      .filter(([, other]) => other.name !== layout.name)
      .map(([name, other]) => {
        const done = (found: readonly PatchReading[]): OtherReading => ({ by: 'layout', name, readings: found });
        return { reader: readerOf(frame, other, pointsPx), done };
      }),
  ];
  for await (const band of scanBands(task.info, task.dpi, [0, 0, frame.widthPx, frame.heightPx])) {
    for (const way of ways) way.reader = attempted(way.reader, (reader) => (reader.take(band), reader));
  }
  const others = ways.flatMap(({ reader, done }) => {
    const found = attempted(reader, (open) => open.done());
    return found === null ? [] : [done(found)];
  });
  const why = explainMisreading(readings, reference, others, { name: layout.name, clockwise });
  if (why !== null) throw why;
}

function readerOf(frame: Frame, layout: TargetLayout, pointsPx: readonly Point[]): BandReader<PatchReading[]> | null {
  return attempted(frame, () => patchReader(frame, layout, homography(layout.pointsMm, pointsPx)));
}

/** A way in which patches would lie outside the scan or be too small is none. */
function attempted<T, R>(of: T | null, act: (of: T) => R): R | null {
  if (of === null) return null;
  try {
    return act(of);
  } catch (error) {
    if (error instanceof CalibrationError) return null;
    throw error;
  }
}
