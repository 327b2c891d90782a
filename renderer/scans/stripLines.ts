/** A strip's origin line and solvent front: distances from its box's top edge, or left edge when it runs across. */
import type { Travel } from '../../analysis/measure/strip/strip.ts';
import { axisOf, usualTravel } from '../../analysis/measure/strip/travelByBox.ts';
import type { SheetRegion } from '../../electron/backend/api.ts';
import { roundMm } from './regionGeometry.ts';

export type StripLine = 'origin' | 'front';
export type StripRegion = SheetRegion & { readonly kind: 'strip' };

/** Where nobody said which way, as it is measured: lengthwise. */
function travelOf({ travel, boxMm }: Pick<StripRegion, 'travel' | 'boxMm'>): Travel {
  return travel ?? (boxMm ? usualTravel(boxMm) : 'up');
}

export function stripRunsAcross(strip: Pick<StripRegion, 'travel' | 'boxMm'>): boolean {
  return axisOf(travelOf(strip)) === 'x';
}

export function stripLinePlace(strip: StripRegion, line: StripLine): number | null {
  return (line === 'origin' ? strip.originMm : strip.frontMm) ?? null;
}

/** Moves a line, within the box; null takes it away, so that it is found. */
export function withStripLine(strip: StripRegion, line: StripLine, place: number | null): StripRegion {
  const { originMm, frontMm, ...rest } = strip;
  const along = strip.boxMm ? strip.boxMm[stripRunsAcross(strip) ? 2 : 3] : Infinity;
  const kept = place === null ? null : roundMm(Math.min(along, Math.max(0, place)));
  const origin = line === 'origin' ? kept : (originMm ?? null);
  const front = line === 'front' ? kept : (frontMm ?? null);
  return { ...rest, ...(origin !== null && { originMm: origin }), ...(front !== null && { frontMm: front }) };
}

/** Where a line that is to be set by hand starts: the origin near where the solvent came from, the front near the other end. */
export function startOfStripLine(strip: StripRegion, line: StripLine): number {
  const along = strip.boxMm ? strip.boxMm[stripRunsAcross(strip) ? 2 : 3] : 100;
  const travel = travelOf(strip);
  const originLast = travel === 'up' || travel === 'left';
  const nearEnd = (line === 'origin') === originLast;
  return roundMm(along * (nearEnd ? 0.85 : 0.15));
}
