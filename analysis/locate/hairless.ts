/** Strokes without the hairs of a feathered edge, which a skeleton would take for strokes of their own. */
import type { Mask } from '../raster/raster.ts';

/** Hairs are thinner than twice this, mm; the finest nibs' lines are not. */
const HAIR_RADIUS_MM = 0.085;
/** … and no stroke is thinned out of being: of the depth that half of all ink exceeds. */
const SHARE_OF_DEPTH = 0.65;
/** Below this depth lines are so fine that opened they lose the middles that their colour is read along. */
const FINE_DEPTH_PX = 2;

/**
 * The mask opened by a small disc. @param depthPx Distance of each ink pixel to the outside (raster/distance.ts).
 */
export function withoutHairs(
  mask: Mask,
  depthPx: Float32Array,
  pxPerMm: number,
): { readonly opened: Mask; readonly fine: boolean } {
  const depth = medianDepth(depthPx);
  const fine = depth < FINE_DEPTH_PX;
  const radius = Math.min(HAIR_RADIUS_MM * pxPerMm, SHARE_OF_DEPTH * depth);
  if (radius < 0.9) return { opened: mask, fine };
  const { widthPx: w, heightPx: h } = mask;
  const data = new Uint8Array(w * h);
  const reach = Math.floor(radius);
  const deep = radius + 0.5;
  for (let i = 0; i < data.length; i++) if (depthPx[i] >= deep) data[i] = 1;
  // Beyond the raster counts as deep, as it does for the distance itself.
  const rim: number[] = [];
  for (let y = 0; y < h; y++) {
    for (let x = 0; x < w; x++) {
      const i = y * w + x;
      if (!data[i]) continue;
      if (
        (x > 0 && !data[i - 1]) ||
        (x < w - 1 && !data[i + 1]) ||
        (y > 0 && !data[i - w]) ||
        (y < h - 1 && !data[i + w])
      )
        rim.push(i);
    }
  }
  for (const i of rim) {
    const cx = i % w;
    const cy = (i - cx) / w;
    for (let y = Math.max(0, cy - reach); y <= Math.min(h - 1, cy + reach); y++) {
      for (let x = Math.max(0, cx - reach); x <= Math.min(w - 1, cx + reach); x++) {
        if ((x - cx) ** 2 + (y - cy) ** 2 <= radius * radius) data[y * w + x] = 1;
      }
    }
  }
  return { opened: { data, widthPx: w, heightPx: h }, fine };
}

/** Of some ten thousand pixels of ink. */
function medianDepth(depthPx: Float32Array): number {
  const stride = Math.max(1, Math.floor(depthPx.length / 400_000));
  const all = new Float32Array(Math.ceil(depthPx.length / stride));
  let count = 0;
  for (let i = 0; i < depthPx.length; i += stride) if (depthPx[i] > 0) all[count++] = depthPx[i];
  const some = all.subarray(0, count).sort();
  return some[some.length >> 1] ?? 0;
}
