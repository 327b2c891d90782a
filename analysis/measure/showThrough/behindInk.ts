/** Which pixels of a page's back lie behind what of its front: lines, their middle thirds, bare paper next to them. */
import type { Ink } from '../../locate/inkMask.ts';
import { maximumFilter } from '../../raster/maximumFilter.ts';
import { affineOf, inverseAffine, type Similarity } from '../../raster/similarity.ts';
import { REVERSE_MARKS } from './reverseInput.ts';

/** Paper counts as next to ink between these distances from it, mm: beyond what spreads, near enough to be the same paper. */
const BARE_MM = [0.45, 2.2] as const;

/** REVERSE_MARKS of each pixel of the front itself. */
export function frontClasses(ink: Ink, dpi: number): Uint8Array {
  const { mask, depthPx, awayPx } = ink;
  const { widthPx, heightPx } = mask;
  const pxPerMm = dpi / 25.4;
  const deepest = maximumFilter(depthPx, widthPx, heightPx, Math.max(2, Math.round(medianHalfWidth(ink) * 1.5)));
  const classes = new Uint8Array(mask.data.length);
  for (let i = 0; i < classes.length; i++) {
    if (mask.data[i]) {
      // distance.ts counts to the next pixel's middle: half a pixel more than to the edge.
      const core = depthPx[i] - 0.5 >= (2 / 3) * (deepest[i] - 0.5);
      classes[i] = core ? REVERSE_MARKS.behindCore : REVERSE_MARKS.behindInk;
    } else if (awayPx[i] >= BARE_MM[0] * pxPerMm && awayPx[i] <= BARE_MM[1] * pxPerMm) {
      classes[i] = REVERSE_MARKS.bare;
    }
  }
  return classes;
}

function medianHalfWidth({ mask, depthPx }: Ink): number {
  const { widthPx, data } = mask;
  const crests: number[] = [];
  for (let i = widthPx; i < data.length - widthPx; i++) {
    const d = depthPx[i];
    if (data[i] && d >= depthPx[i - 1] && d >= depthPx[i + 1] && d >= depthPx[i - widthPx] && d >= depthPx[i + widthPx])
      crests.push(d);
  }
  crests.sort((a, b) => a - b);
  return crests.length === 0 ? 1 : crests[crests.length >> 1];
}

interface Size {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly dpi: number;
}

/** The front's classes where they lie on the back, pixel by pixel (nearest). @param place front → back, mm from the middles */
export function laidOnBack(classes: Uint8Array, front: Size, back: Size, place: Similarity): Uint8Array {
  const from = inverseAffine(affineOf(place));
  const out = new Uint8Array(back.widthPx * back.heightPx);
  const mm = 25.4 / back.dpi;
  const px = front.dpi / 25.4;
  for (let y = 0; y < back.heightPx; y++) {
    const yMm = (y + 0.5 - back.heightPx / 2) * mm;
    for (let x = 0; x < back.widthPx; x++) {
      const xMm = (x + 0.5 - back.widthPx / 2) * mm;
      const fx = Math.floor((from.a * xMm + from.b * yMm + from.c) * px + front.widthPx / 2);
      const fy = Math.floor((from.d * xMm + from.e * yMm + from.f) * px + front.heightPx / 2);
      if (fx < 0 || fy < 0 || fx >= front.widthPx || fy >= front.heightPx) continue;
      out[y * back.widthPx + x] = classes[fy * front.widthPx + fx];
    }
  }
  return out;
}
