/** Which regions of a sheet can be measured, and what is asked of each. */
import type { BoxMm } from '../../analysis/calibrate/calibration.ts';
import type { BandByHand } from '../../analysis/measure/strip/strip.ts';
import type { LoadedRegion } from '../sheet/loadedSheet.ts';
import type { FrontTask, RegionTask } from './tasks.ts';

const MEASURED_KINDS = ['paper', 'strokes', 'swab', 'bar', 'strip', 'reverse'] as const;
type MeasuredKind = (typeof MEASURED_KINDS)[number];

export type Measurable = Extract<LoadedRegion, { kind: MeasuredKind }> & { readonly boxMm: BoxMm };

export function isMeasurable(region: LoadedRegion): region is Measurable {
  return MEASURED_KINDS.some((kind) => kind === region.kind) && region.boxMm !== undefined;
}

export function whyNotMeasured({ kind, boxMm }: Pick<LoadedRegion, 'kind' | 'boxMm'>): string {
  if (boxMm && !MEASURED_KINDS.some((k) => k === kind)) {
    return `regions of kind "${kind}" are not measured yet; ${MEASURED_KINDS.join(', ')} are`;
  }
  return `it has no "boxMm"; give its place in the scan as [x, y, width, height] in mm`;
}

/** @param front of a reverse: the side that it lies behind */
export function measureOf(region: Measurable, front: FrontTask | null = null): RegionTask['measure'] {
  if (region.kind === 'reverse') return { kind: region.kind, front, page: region.page ?? 'back' };
  if (region.kind === 'strokes') return { kind: region.kind, nibWidthMm: region.nibWidthMm ?? null };
  return region.kind === 'strip'
    ? {
        kind: region.kind,
        travel: region.travel ?? 'up',
        originMm: region.originMm ?? null,
        frontMm: region.frontMm ?? null,
        run: region.run ?? null,
        runS: region.runS ?? null,
        bands: (region.bands ?? []).map(bandWord),
      }
    : { kind: region.kind };
}

function bandWord(band: NonNullable<Extract<LoadedRegion, { kind: 'strip' }>['bands']>[number]): BandByHand {
  if ('with' in band) return { says: 'one', rF: band.rF, with: band.with };
  return { says: band.removed === true ? 'none' : 'band', rF: band.rF };
}
