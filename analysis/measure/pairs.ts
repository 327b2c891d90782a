/** Which regions are held against each other when a sheet says nothing (docs/measures.md): by what they are, never by their numbers. */

export interface Pairable {
  readonly id: string;
  readonly kind: string;
  readonly paper: string;
  readonly nib: string | null;
  readonly run: 'fresh' | 'dried' | null;
  /** What ran up a strip; null: not told. */
  readonly liquid?: string | null;
}

export type Pair = readonly [string, string];

/** Every two strokes regions of different nibs on one paper, in the sheet's order. */
export function nibPairs(regions: readonly Pairable[]): readonly Pair[] {
  const strokes = regions.filter((r) => r.kind === 'strokes' && r.nib !== null);
  return twoAtATime(strokes, (a, b) => a.paper === b.paper && a.nib !== b.nib);
}

/**
 * Every two papers for the same nib, and for swabs: a paper's first swab with the other's first, second with second (a
 * swab drawn once even and once graded on each paper pairs like with like).
 */
export function paperPairs(regions: readonly Pairable[]): readonly Pair[] {
  const strokes = regions.filter((r) => r.kind === 'strokes' && r.nib !== null);
  const swabs = regions.filter((r) => r.kind === 'swab');
  const place = (swab: Pairable) => swabs.filter((s) => s.paper === swab.paper && s.nib === swab.nib).indexOf(swab);
  return [
    ...twoAtATime(strokes, (a, b) => a.nib === b.nib && a.paper !== b.paper),
    ...twoAtATime(swabs, (a, b) => a.nib === b.nib && a.paper !== b.paper && place(a) === place(b)),
  ];
}

/** Every fresh strip with every dried one, unless two liquids ran them: what another liquid does, drying did not do. */
export function runPairs(regions: readonly Pairable[]): readonly Pair[] {
  const strips = regions.filter((r) => r.kind === 'strip');
  return strips
    .filter((s) => s.run === 'fresh')
    .flatMap((fresh) =>
      strips.filter((s) => s.run === 'dried' && oneLiquid(s, fresh)).map((dried): Pair => [fresh.id, dried.id]),
    );
}

function oneLiquid(a: Pairable, b: Pairable): boolean {
  const [one, other] = [a.liquid ?? null, b.liquid ?? null];
  return one === null || other === null || one === other;
}

function twoAtATime(list: readonly Pairable[], alike: (a: Pairable, b: Pairable) => boolean): Pair[] {
  return list.flatMap((a, i) => list.slice(i + 1).flatMap((b): Pair[] => (alike(a, b) ? [[a.id, b.id]] : [])));
}
