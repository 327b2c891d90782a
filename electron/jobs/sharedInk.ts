/** Samples whose boxes share ink, flagged in all that is told of them. */
import { sharingInk } from '../../analysis/measure/sharedInk.ts';
import type { Flag } from '../../analysis/quantity.ts';
import { type OfSize, toPx } from './paperGroups.ts';
import type { Measurable } from './measurable.ts';
import type { RegionResult } from './tasks.ts';
import { withFlags } from './withFlags.ts';

type Written = Extract<Measurable, { kind: 'strokes' | 'swab' }>;

export function flagSharedInk(
  regions: readonly Measurable[],
  results: ReadonlyMap<string, RegionResult>,
  scans: ReadonlyMap<string, OfSize>,
): Map<string, RegionResult> {
  const sharing = [...scans].flatMap(([name, scan]) => [
    ...sharingInk(
      regions.filter(isWritten).flatMap((region) => {
        if (region.scan !== name) return [];
        const { id, kind, nib = null, boxMm } = region;
        return [{ id, kind, nib, boxPx: toPx(boxMm, scan), marks: results.get(id)?.marks ?? null }];
      }),
    ),
  ]);
  return new Map(
    [...results].map(([id, result]) => [id, sharing.includes(id) ? withFlags(result, addShared) : result] as const),
  );
}

function isWritten(region: Measurable): region is Written {
  return region.kind === 'strokes' || region.kind === 'swab';
}

function addShared(flags: readonly Flag[]): readonly Flag[] {
  return [...flags, 'shared-ink'];
}
