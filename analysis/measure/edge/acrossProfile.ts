/** Contrast read across a stroke at every station of its middle, at steps of a fraction of a pixel. */
import type { CentreLine } from './centreLine.ts';
import { readAlong, type TiledSpline } from '../../raster/tiledSpline.ts';

export interface AcrossProfiles {
  /** One row a station: `samples` values outwards both ways along the normal, the middle between them; NaN where nothing was read yet. */
  readonly data: Float32Array;
  readonly samples: number;
  readonly stepPx: number;
  /** From station to station, px. */
  readonly stationPx: number;
  /** So many samples either way are read of each row. */
  readonly near: Int32Array;
  readonly line: CentreLine;
  readonly contrast: TiledSpline;
}

/**
 * Beyond the raster a profile reads NaN: whoever looks there knows that nothing is known. @param nearPx How far rows are read
 * at once, per station; of the rest `readOuter` reads what somebody asks for.
 */
export function acrossProfiles(
  contrast: TiledSpline,
  line: CentreLine,
  reachPx: number,
  stepPx: number,
  nearPx: Float64Array,
): AcrossProfiles {
  const side = Math.ceil(reachPx / stepPx);
  const samples = 2 * side + 1;
  const n = line.x.length;
  const data = new Float32Array(n * samples).fill(NaN);
  const near = new Int32Array(n);
  const profiles = { data, samples, stepPx, stationPx: line.stepPx, near, line, contrast };
  for (let i = 0; i < n; i++) {
    near[i] = Math.min(side, Math.ceil(nearPx[i] / stepPx));
    readRow(profiles, i, -near[i], 2 * near[i] + 1);
  }
  return profiles;
}

/** Reads the outer parts of a station's row. */
export function readOuter(profiles: AcrossProfiles, station: number): void {
  const { near, samples } = profiles;
  const side = samples >> 1;
  const outer = side - near[station];
  if (outer === 0) return;
  readRow(profiles, station, -side, outer);
  readRow(profiles, station, near[station] + 1, outer);
  near[station] = side;
}

function readRow(
  { data, samples, stepPx, line, contrast }: AcrossProfiles,
  i: number,
  from: number,
  count: number,
): void {
  const dx = line.nx[i] * stepPx;
  const dy = line.ny[i] * stepPx;
  const at = i * samples + (samples >> 1) + from;
  readAlong(contrast, line.x[i] + from * dx, line.y[i] + from * dy, dx, dy, data, at, count);
}
