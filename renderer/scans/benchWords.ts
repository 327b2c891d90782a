/** What is said of what keys did on the bench, to those who do not see it and at the window's foot. Pure. */
import { fixed } from '../../analysis/report/valueText.ts';
import type { SheetRegion } from '../../electron/backend/api.ts';
import { type RegionKind, REGION_KINDS } from './regionKinds.ts';

export function toolWords(kind: RegionKind): string {
  const { word, explains } = REGION_KINDS.find((one) => one.kind === kind)!;
  return `${word}: drag a box round ${explains}, or press N.`;
}

/** Where a region lies by now; of several the first with how many more moved along. */
export function placeWords(regions: readonly SheetRegion[]): string | null {
  const first = regions.find(({ boxMm }) => boxMm !== undefined);
  if (!first?.boxMm) return null;
  const [left, top, width, height] = first.boxMm.map((mm) => fixed(mm, 1));
  const more = regions.length - 1;
  return (
    `“${first.id}”: ${left} mm from the left, ${top} mm from the top, ${width} × ${height} mm` +
    (more === 0 ? '.' : `; ${counted(more)} more moved along.`)
  );
}

export function madeWords(region: SheetRegion): string {
  return `Drawn: ${placeWords([region]) ?? `“${region.id}”.`} Arrows move it, Enter goes to its fields.`;
}

export function removedWords(regions: readonly SheetRegion[]): string {
  const what = regions.length === 1 ? `“${regions[0].id}”` : counted(regions.length);
  return `Removed: ${what}. Undo brings ${regions.length === 1 ? 'it' : 'them'} back.`;
}

export function chosenWords(count: number): string {
  return count === 0 ? 'No region lies on this scan.' : `Chosen: ${counted(count)}.`;
}

function counted(count: number): string {
  return count === 1 ? '1 region' : `${count} regions`;
}
