/** What pixels beside the ink count as: those of a halo's ring and those that a hair runs through. */
import type { Ink } from '../../locate/inkMask.ts';
import type { EdgeDetail } from './edgeDetail.ts';

/** The same numbers as in INK_MARKS (measure/ink.ts). */
const HALO = 7;
const HAIR = 8;

/** Into `marks`, one a pixel of the region, 0 where there is no ink. */
export function markEdges(marks: Uint8Array, { halo, hairs }: EdgeDetail, ink: Ink, pxPerMm: number): void {
  const { widthPx: w, heightPx: h } = ink.mask;
  if (halo) {
    // The distance is that to the nearest pixel of ink, half a pixel more than to its edge.
    const reach = halo.toMm * pxPerMm + 0.5;
    for (let i = 0; i < marks.length; i++) if (marks[i] === 0 && ink.awayPx[i] <= reach) marks[i] = HALO;
  }
  for (const { from, to } of hairs) {
    const steps = Math.max(1, Math.ceil(2 * Math.hypot(to[0] - from[0], to[1] - from[1])));
    for (let k = 0; k <= steps; k++) {
      const x = Math.floor(from[0] + (k / steps) * (to[0] - from[0]));
      const y = Math.floor(from[1] + (k / steps) * (to[1] - from[1]));
      if (x >= 0 && y >= 0 && x < w && y < h) marks[y * w + x] = HAIR;
    }
  }
}
