/** What a new region is called and made of, read off its neighbours. */
import { nameProblem } from '../../analysis/report/nameLength.ts';
import { axisOf, axisOfBox, usualTravel } from '../../analysis/measure/strip/travelByBox.ts';
import type { SheetRegion } from '../../electron/backend/api.ts';
import type { BoxMm } from './regionGeometry.ts';
import { fieldsOf, hasPen, regionOf } from './regionKinds.ts';
import type { RegionFields, RegionKind } from './regionKinds.ts';

export interface ProposalScan {
  readonly id: string;
  readonly side: 'front' | 'back';
  /** The front of this back. */
  readonly of: string | null;
  readonly widthMm: number;
}

/** A whole region from its kind and box. Nothing that was not said nearby is made up. */
export function proposedRegion(
  kind: RegionKind,
  scan: ProposalScan,
  boxMm: BoxMm,
  regions: readonly SheetRegion[],
): SheetRegion {
  const here = regions.filter((region) => region.scan === scan.id).map(fieldsOf);
  const paper = nearest(
    here.filter((r) => r.paper !== undefined),
    boxMm,
  )?.paper;
  // One more sample on a page mostly has another nib, and a swab none: that of the one above, and its name, would be wrong in silence.
  const pen =
    hasPen(kind) && kind !== 'strokes' && kind !== 'swab'
      ? nearest(
          preferKind(
            here.filter((r) => r.nib !== undefined),
            kind,
          ),
          boxMm,
        )
      : undefined;
  const fields: RegionFields = {
    id: '',
    scan: scan.id,
    kind,
    boxMm,
    ...(paper !== undefined && { paper }),
    ...(pen?.nib !== undefined && { nib: pen.nib }),
    ...(pen?.nibWidthMm !== undefined && { nibWidthMm: pen.nibWidthMm }),
    ...ofKind(kind, scan, boxMm, regions),
  };
  return regionOf({ ...fields, id: proposedId(fields, regions) });
}

/** The nib's name when it is free, else kind and number: 'ef', 'swab-2'. */
export function proposedId(
  { kind, nib, run }: Pick<RegionFields, 'kind' | 'nib' | 'run'>,
  regions: readonly { readonly id: string }[],
): string {
  const taken = new Set(regions.map(({ id }) => id.toLowerCase()));
  const name = kind === 'strokes' ? asId(nib ?? '') : kind === 'strip' ? (run ?? '') : '';
  if (name !== '' && !taken.has(name)) return name;
  for (let number = 1; ; number++) if (!taken.has(`${kind}-${number}`)) return `${kind}-${number}`;
}

/** The nibs of an ink's regions whose width is said, the last one first. */
export function nibsOf(regions: readonly SheetRegion[]): { readonly name: string; readonly widthMm: number }[] {
  return regions
    .map(fieldsOf)
    .flatMap(({ nib, nibWidthMm }) =>
      nib !== undefined && nibWidthMm !== undefined ? [{ name: nib, widthMm: nibWidthMm }] : [],
    )
    .toReversed();
}

/** Another nib's name, with that nib's width where one is known. */
export function ofNib(
  now: Pick<RegionFields, 'nib' | 'nibWidthMm'>,
  nib: string,
  known: readonly { readonly name: string; readonly widthMm: number | null }[],
): Pick<RegionFields, 'nib' | 'nibWidthMm'> {
  if (nib === '') return { nib, nibWidthMm: undefined };
  // A width that stood alone was typed for this nib; one beside another nib is that nib's.
  const own = (now.nib ?? nib) === nib ? now.nibWidthMm : undefined;
  return { nib, nibWidthMm: known.find(({ name }) => name === nib)?.widthMm ?? own };
}

/** A copy beside or under the original, named anew. */
export function duplicated(region: SheetRegion, boxMm: BoxMm, regions: readonly SheetRegion[]): SheetRegion {
  const base = region.id.replace(/-\d+$/, '');
  const taken = new Set(regions.map(({ id }) => id));
  let number = 2;
  while (taken.has(`${base}-${number}`)) number++;
  return regionOf({ ...fieldsOf(region), boxMm, id: `${base}-${number}` });
}

/** What would not do as an id, in words; null: it will. */
export function idProblem(
  id: string,
  own: string,
  others: readonly { readonly id: string }[],
  noun: string,
): string | null {
  const name = id.trim();
  if (name === '') return `A ${noun} needs a name, for instance “${noun}-1”.`;
  if (/[/\\";\r\n\t]/.test(name))
    return `“${name}” has a slash, quote or semicolon; names become parts of file names. Leave it out.`;
  const problem = name === own ? null : nameProblem(name);
  if (problem !== null) return problem;
  if (name !== own && others.some((other) => other.id === name))
    return `“${name}” is the name of another ${noun}. Choose another.`;
  return null;
}

function ofKind(
  kind: RegionKind,
  scan: ProposalScan,
  boxMm: BoxMm,
  regions: readonly SheetRegion[],
): Partial<RegionFields> {
  const all = regions.map(fieldsOf);
  if (kind === 'strip') return stripProposal(all, boxMm);
  if (kind === 'hatch') return hatchProposal(all, boxMm);
  if (kind === 'swipe') {
    const direction = all.find((r) => r.direction !== undefined)?.direction;
    return direction === undefined ? {} : { direction };
  }
  if (kind !== 'reverse' || scan.of === null) return {};
  // Seen from behind, left and right change places.
  const mirrored: BoxMm = [scan.widthMm - boxMm[0] - boxMm[2], boxMm[1], boxMm[2], boxMm[3]];
  const front = nearest(
    all.filter((r) => r.scan === scan.of && r.kind !== 'strip' && r.kind !== 'reverse' && r.kind !== 'paper'),
    mirrored,
  );
  return front ? { of: front.id } : {};
}

function stripProposal(all: readonly RegionFields[], boxMm: BoxMm): Partial<RegionFields> {
  const strips = all.filter((r) => r.kind === 'strip');
  const run = strips.some((r) => r.run === 'fresh') && !strips.some((r) => r.run === 'dried') ? 'dried' : 'fresh';
  // As the strips before, unless this one lies the other way.
  const before = strips[0]?.travel;
  const axis = axisOfBox(boxMm);
  const fits = before !== undefined && (axis === null || axisOf(before) === axis);
  return { run, travel: fits ? before : usualTravel(boxMm) };
}

function hatchProposal(all: readonly RegionFields[], boxMm: BoxMm): Partial<RegionFields> {
  const hatches = all.filter((r) => r.kind === 'hatch');
  const waiting = hatches.filter((r) => r.state !== 'after' && !hatches.some((other) => other.of === r.id));
  const before = nearest(waiting, boxMm);
  const agent = before?.agent ?? hatches[0]?.agent;
  return {
    ...(agent !== undefined && { agent }),
    ...(before ? { state: 'after', of: before.id } : { state: 'before' }),
  };
}

function preferKind(regions: readonly RegionFields[], kind: RegionKind): readonly RegionFields[] {
  const alike = regions.filter((region) => region.kind === kind);
  return alike.length > 0 ? alike : regions;
}

function nearest(regions: readonly RegionFields[], [x, y, width, height]: BoxMm): RegionFields | undefined {
  const away = ({ boxMm }: RegionFields): number =>
    boxMm ? Math.hypot(boxMm[0] + boxMm[2] / 2 - x - width / 2, boxMm[1] + boxMm[3] / 2 - y - height / 2) : 1e6;
  return regions.toSorted((p, q) => away(p) - away(q)).at(0);
}

function asId(name: string): string {
  return name
    .toLowerCase()
    .replace(/[/\\";\s]+/g, '-')
    .replace(/^-+|-+$/g, '');
}
