/** Contrast read across a stroke at every station of its middle, at steps of a fraction of a pixel. */
import { splineAt } from '../../raster/cubicSpline.ts';
import type { CentreLine } from './centreLine.ts';

export interface AcrossProfiles {
  /** One row a station: `samples` values from −reachPx to +reachPx along the normal. */
  readonly data: Float32Array;
  readonly samples: number;
  readonly reachPx: number;
  readonly stepPx: number;
}

/**
 * @param plane Spline coefficients of the contrast (raster/cubicSpline.ts). Beyond the raster a profile reads NaN: whoever
 * looks there knows that nothing is known.
 */
export function acrossProfiles(
  plane: Float32Array,
  widthPx: number,
  heightPx: number,
  line: CentreLine,
  reachPx: number,
  stepPx: number,
): AcrossProfiles {
  const side = Math.ceil(reachPx / stepPx);
  const samples = 2 * side + 1;
  const n = line.x.length;
  const data = new Float32Array(n * samples);
  for (let i = 0; i < n; i++) {
    const dx = line.nx[i] * stepPx;
    const dy = line.ny[i] * stepPx;
    let x = line.x[i] - side * dx;
    let y = line.y[i] - side * dy;
    for (let k = 0; k < samples; k++, x += dx, y += dy) {
      data[i * samples + k] = splineAt(plane, widthPx, heightPx, x, y);
    }
  }
  return { data, samples, reachPx: side * stepPx, stepPx };
}
