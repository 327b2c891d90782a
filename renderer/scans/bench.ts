/** What all parts of the Scans page share: one ink's work, what is shown and chosen, and the tool in hand. */
import type { SheetRegion, Work, WorkScan } from '../../electron/backend/api.ts';
import type { DragInHand } from './dragInHand.ts';
import type { RegionKind } from './regionKinds.ts';
import type { ScansPlace } from './scansAddress.ts';
import type { RegionDrafts } from './useRegionDrafts.ts';

export type Tool =
  { readonly tool: 'choose' } | { readonly tool: 'draw'; readonly kind: RegionKind } | { readonly tool: 'probe' };

export interface Bench {
  readonly ink: number;
  readonly work: Work;
  readonly place: ScansPlace;
  readonly setPlace: (place: ScansPlace) => void;
  readonly drafts: RegionDrafts;
  readonly tool: Tool;
  readonly drag: DragInHand;
  readonly setTool: (tool: Tool) => void;
  /** Whether a colour is pinned that differences can be against. */
  readonly hasReference: boolean;
  readonly heat: boolean;
  readonly setHeat: (on: boolean) => void;
  /** Of overlay lines, far from the ink and the papers. */
  readonly lineColour: string;
  readonly choose: (ids: readonly string[]) => void;
  /** Brings a region into view, if its scan is on the bench. */
  readonly show: (region: SheetRegion) => void;
}

export function scanOf({ work }: Bench, id: string | null): WorkScan | null {
  return work.scans.find((scan) => scan.id === id) ?? null;
}

/** With shift a region joins or leaves those that are chosen. */
export function chosenWith(chosen: readonly string[], id: string, several: boolean): readonly string[] {
  if (!several) return [id];
  return chosen.includes(id) ? chosen.filter((other) => other !== id) : [...chosen, id];
}
