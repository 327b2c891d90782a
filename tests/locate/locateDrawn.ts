/** A drawn scan through all of locating, as electron/jobs/locateTarget.ts does it with a file. Made for these tests. */
import { greyOf } from '../../analysis/locate/greyRaster.ts';
import { Shrinker } from '../../analysis/locate/target/colourRaster.ts';
import { measureTarget, type TargetFound } from '../../analysis/locate/target/measureTarget.ts';
import type { Refusal } from '../../analysis/locate/target/refusal.ts';
import { searchFactor, searchTarget } from '../../analysis/locate/target/searchTarget.ts';
import type { KnownColours, LocatedLayout } from '../../analysis/locate/target/targetLayout.ts';
import type { Point } from '../../analysis/raster/homography.ts';
import type { DeviceRaster } from '../../analysis/raster/raster.ts';

export function locateDrawn(scan: DeviceRaster, layout: LocatedLayout, known: KnownColours): TargetFound | Refusal {
  const factor = searchFactor(layout, scan.dpi);
  const shrinker = new Shrinker(scan.widthPx, scan.heightPx, scan.dpi, factor);
  shrinker.take(scan);
  const small = shrinker.done();
  const seen = searchTarget(small, factor, layout, known);
  if ('problem' in seen) return seen;
  const whole = seen.discs.some((disc) => disc !== null) ? greyOf(scan) : null;
  return measureTarget(
    seen,
    seen.discs.map((disc) => (disc === null ? null : whole)),
    small,
    factor,
    layout,
    known,
  );
}

/** Largest distance of a found point from its true place, mm of the scan. */
export function worstMissMm(found: TargetFound, truePx: readonly Point[], dpi: number): number {
  const misses = found.pointsPx.map(([x, y], k) => Math.hypot(x - truePx[k][0], y - truePx[k][1]));
  return (Math.max(...misses) * 25.4) / dpi;
}
