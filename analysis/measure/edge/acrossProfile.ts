/** Contrast read across a stroke at every station of its middle, at steps of a fraction of a pixel. */
import { splineAlong } from '../../raster/cubicSpline.ts';
import type { CentreLine } from './centreLine.ts';

export interface AcrossProfiles {
  /** One row a station: `samples` values from −reachPx to +reachPx along the normal. */
  readonly data: Float32Array;
  readonly samples: number;
  readonly reachPx: number;
  readonly stepPx: number;
  /** From station to station, px. */
  readonly stationPx: number;
  /** Reads the outer parts of a station's row, which are NaN until somebody looks there. */
  readonly readOuter: (station: number) => void;
}

/**
 * @param plane Spline coefficients of the contrast (raster/cubicSpline.ts). Beyond the raster a profile reads NaN: whoever
 * looks there knows that nothing is known. @param nearPx How far rows are read at once, per station; null: all of them.
 */
export function acrossProfiles(
  plane: Float32Array,
  widthPx: number,
  heightPx: number,
  line: CentreLine,
  reachPx: number,
  stepPx: number,
  nearPx: Float64Array | null = null,
): AcrossProfiles {
  const side = Math.ceil(reachPx / stepPx);
  const samples = 2 * side + 1;
  const n = line.x.length;
  const data = new Float32Array(n * samples);
  const near = new Int32Array(n).fill(side);
  for (let i = 0; i < n; i++) {
    if (nearPx !== null) near[i] = Math.min(side, Math.ceil(nearPx[i] / stepPx));
    const outer = side - near[i];
    if (outer > 0) {
      data.fill(NaN, i * samples, i * samples + outer);
      data.fill(NaN, (i + 1) * samples - outer, (i + 1) * samples);
    }
    read(i, -near[i], 2 * near[i] + 1);
  }
  return { data, samples, reachPx: side * stepPx, stepPx, stationPx: line.stepPx, readOuter };

  function readOuter(station: number): void {
    const outer = side - near[station];
    if (outer === 0) return;
    read(station, -side, outer);
    read(station, near[station] + 1, outer);
    near[station] = side;
  }

  function read(i: number, from: number, count: number): void {
    const dx = line.nx[i] * stepPx;
    const dy = line.ny[i] * stepPx;
    const at = i * samples + side + from;
    splineAlong(plane, widthPx, heightPx, line.x[i] + from * dx, line.y[i] + from * dy, dx, dy, data, at, count);
  }
}
