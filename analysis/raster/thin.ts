/**
 * One-pixel-wide skeleton of a mask.
 * Source: Guo & Hall (1989), Comm. ACM 32(3), 359–373 (parallel thinning, two sub-iterations, 8-connected).
 */
import type { Mask } from './raster.ts';

export function thin(mask: Mask): Mask {
  const { widthPx, heightPx } = mask;
  const data = Uint8Array.from(mask.data);
  // Only pixels that still stand are visited again: strokes are a few per cent of a page.
  let standing = 0;
  for (const m of data) if (m) standing++;
  const alive = new Int32Array(standing);
  const doomed = new Int32Array(standing);
  standing = 0;
  for (let y = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++) {
      const i = y * widthPx + x;
      if (!data[i]) continue;
      // The outermost ring has no full neighbourhood; ink there is cut by the box and is not part of the skeleton.
      if (x === 0 || y === 0 || x === widthPx - 1 || y === heightPx - 1) data[i] = 0;
      else alive[standing++] = i;
    }
  }
  let changed = true;
  while (changed) {
    changed = false;
    for (const even of [true, false]) {
      let falling = 0;
      for (let k = 0; k < standing; k++) {
        const i = alive[k];
        if (data[i] && removable(data, i, widthPx, even)) doomed[falling++] = i;
      }
      for (let k = 0; k < falling; k++) data[doomed[k]] = 0;
      if (falling > 0) changed = true;
    }
    const before = standing;
    standing = 0;
    for (let k = 0; k < before; k++) if (data[alive[k]]) alive[standing++] = alive[k];
  }
  return { data, widthPx, heightPx };
}

function removable(d: Uint8Array, i: number, w: number, even: boolean): boolean {
  const p2 = d[i - w];
  const p3 = d[i - w + 1];
  const p4 = d[i + 1];
  const p5 = d[i + w + 1];
  const p6 = d[i + w];
  const p7 = d[i + w - 1];
  const p8 = d[i - 1];
  const p9 = d[i - w - 1];
  const crossings = (p2 ? 0 : p3 | p4) + (p4 ? 0 : p5 | p6) + (p6 ? 0 : p7 | p8) + (p8 ? 0 : p9 | p2);
  if (crossings !== 1) return false;
  const n1 = (p9 | p2) + (p3 | p4) + (p5 | p6) + (p7 | p8);
  const n2 = (p2 | p3) + (p4 | p5) + (p6 | p7) + (p8 | p9);
  const n = Math.min(n1, n2);
  if (n < 2 || n > 3) return false;
  return even ? ((p6 | p7 | (p9 ? 0 : 1)) & p8) === 0 : ((p2 | p3 | (p5 ? 0 : 1)) & p4) === 0;
}
