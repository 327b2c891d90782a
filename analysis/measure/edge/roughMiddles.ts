/** How far the middle between a stroke's two edges lies beside its skeleton: roughly, for the line through the middles is smoothed. */
import type { Ink } from '../../locate/inkMask.ts';
import type { CentreLine } from './centreLine.ts';

/** px along the normal per station, NaN where an edge was not found. @param reachPx An edge is looked for so far out. */
export function roughMiddles(line: CentreLine, roughHalfPx: Float64Array, ink: Ink, reachPx: number): Float64Array {
  const shift = new Float64Array(line.x.length);
  for (let i = 0; i < shift.length; i++) {
    const inner = 0.35 * roughHalfPx[i];
    const here = readAt(ink, line, i, 0);
    const level = (2 * here + readAt(ink, line, i, inner) + readAt(ink, line, i, -inner)) / 8;
    shift[i] = (edgeFrom(ink, line, i, 1, here, level, reachPx) - edgeFrom(ink, line, i, -1, here, level, reachPx)) / 2;
  }
  return shift;
}

/** Where contrast falls through `level` at half of the middle's own, px outwards. @param here In the middle. */
function edgeFrom(
  ink: Ink,
  line: CentreLine,
  i: number,
  side: -1 | 1,
  here: number,
  level: number,
  reachPx: number,
): number {
  let before = here;
  for (let away = 1; away <= reachPx; away++) {
    const v = readAt(ink, line, i, side * away);
    if (v < level && before >= level) return away - 1 + (before - level) / (before - v);
    before = v;
  }
  return NaN;
}

function readAt({ contrast, mask }: Ink, line: CentreLine, i: number, by: number): number {
  return bilinear(contrast, mask.widthPx, mask.heightPx, line.x[i] + by * line.nx[i], line.y[i] + by * line.ny[i]);
}

/** NaN beyond the raster. */
function bilinear(plane: Float32Array, w: number, h: number, x: number, y: number): number {
  const left = Math.floor(x);
  const top = Math.floor(y);
  if (!(left >= 0 && top >= 0 && left < w - 1 && top < h - 1)) return NaN;
  const u = x - left;
  const i = top * w + left;
  const above = plane[i] + u * (plane[i + 1] - plane[i]);
  const below = plane[i + w] + u * (plane[i + w + 1] - plane[i + w]);
  return above + (y - top) * (below - above);
}
