import type { OverlayRegion } from '../jobs/tasks.ts';

/** Down the page, and from left to right where boxes stand beside each other, so that numbers are where one looks for them. */
export function inReadingOrder(regions: readonly OverlayRegion[]): readonly OverlayRegion[] {
  const rows: OverlayRegion[][] = [];
  for (const region of regions.toSorted((a, b) => middle(a) - middle(b))) {
    const [, top, , height] = region.boxPx;
    const row = rows.at(-1);
    const beside = row?.every(
      ({ boxPx: [, y, , h] }) => middle(region) < y + h && y + h / 2 > top && y + h / 2 < top + height,
    );
    if (row && beside) row.push(region);
    else rows.push([region]);
  }
  return rows.flatMap((row) => row.toSorted((a, b) => a.boxPx[0] - b.boxPx[0]));
}

function middle({ boxPx: [, top, , height] }: OverlayRegion): number {
  return top + height / 2;
}
