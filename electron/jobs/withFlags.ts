import type { Flag } from '../../analysis/quantity.ts';
import type { RegionResult } from './tasks.ts';

/** A result whose flags are known better than when it was measured: all that is told of the region bears them. */
export function withFlags(result: RegionResult, change: (flags: readonly Flag[]) => readonly Flag[]): RegionResult {
  const flagged = <T extends { readonly flags: readonly Flag[] }>(one: T): T => ({ ...one, flags: change(one.flags) });
  const { ink, strip } = result;
  const quantities = result.quantities.map(flagged);
  return { ...result, quantities, ink: ink && flagged(ink), strip: strip && { ...flagged(strip), quantities } };
}
