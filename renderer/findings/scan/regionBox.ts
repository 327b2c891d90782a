/** Region boxes in px of their scan. Pure. */
import type { RegionDetail, SheetRegion } from '../../../electron/backend/api.ts';

export type BoxPx = RegionDetail['boxPx'];

/** Null: the region has no place of its own. */
export function boxPxOf({ boxMm }: SheetRegion, dpi: number): BoxPx | null {
  if (boxMm === undefined) return null;
  const px = (mm: number): number => (mm * dpi) / 25.4;
  return [px(boxMm[0]), px(boxMm[1]), px(boxMm[2]), px(boxMm[3])];
}

/** The smallest region that holds a place: small boxes lie on large ones. */
export function regionAt(
  regions: readonly SheetRegion[],
  dpi: number,
  [px, py]: readonly [number, number],
): SheetRegion | null {
  const hit = regions.flatMap((region) => {
    const box = boxPxOf(region, dpi);
    if (box === null) return [];
    const [x, y, width, height] = box;
    return px >= x && py >= y && px <= x + width && py <= y + height ? [{ region, area: width * height }] : [];
  });
  return hit.toSorted((a, b) => a.area - b.area)[0]?.region ?? null;
}

/** The box that holds all of some boxes. */
export function around(boxes: readonly BoxPx[]): BoxPx | null {
  if (boxes.length === 0) return null;
  const left = Math.min(...boxes.map(([x]) => x));
  const top = Math.min(...boxes.map(([, y]) => y));
  const right = Math.max(...boxes.map(([x, , width]) => x + width));
  const bottom = Math.max(...boxes.map(([, y, , height]) => y + height));
  return [left, top, right - left, bottom - top];
}

/** Boxes on several scans made equally large in mm about their own middles, so that all are seen at one scale. */
export function equallyLarge(boxes: readonly { readonly box: BoxPx; readonly dpi: number }[]): readonly BoxPx[] {
  const mm = boxes.map(({ box, dpi }) => [(box[2] * 25.4) / dpi, (box[3] * 25.4) / dpi]);
  const widthMm = Math.max(...mm.map(([width]) => width));
  const heightMm = Math.max(...mm.map(([, height]) => height));
  return boxes.map(({ box: [x, y, width, height], dpi }) => {
    const [across, down] = [(widthMm * dpi) / 25.4, (heightMm * dpi) / 25.4];
    return [x + width / 2 - across / 2, y + height / 2 - down / 2, across, down];
  });
}
