import type { Mask } from './raster.ts';

/** Clears, in place, every 8-connected component of fewer than `minPx` pixels. */
export function dropSmallComponents(mask: Mask, minPx: number): void {
  const { data, widthPx: w, heightPx: h } = mask;
  const seen = new Uint8Array(data.length);
  const members: number[] = [];
  for (let start = 0; start < data.length; start++) {
    if (!data[start] || seen[start]) continue;
    members.length = 0;
    members.push(start);
    seen[start] = 1;
    for (let k = 0; k < members.length; k++) {
      const p = members[k];
      const px = p % w;
      const py = (p - px) / w;
      for (let y = Math.max(0, py - 1); y <= Math.min(h - 1, py + 1); y++) {
        for (let x = Math.max(0, px - 1); x <= Math.min(w - 1, px + 1); x++) {
          const q = y * w + x;
          if (data[q] && !seen[q]) {
            seen[q] = 1;
            members.push(q);
          }
        }
      }
    }
    if (members.length < minPx) for (const p of members) data[p] = 0;
  }
}
