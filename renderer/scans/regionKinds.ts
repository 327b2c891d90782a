/** The kinds of region: their words, their keys, and which fields each has. */
import type { SheetRegion } from '../../electron/backend/api.ts';

export type RegionKind = SheetRegion['kind'];

export interface KindWords {
  readonly kind: RegionKind;
  /** On the button. */
  readonly word: string;
  /** What is drawn round. */
  readonly explains: string;
  readonly key: string;
}

export const REGION_KINDS: readonly KindWords[] = [
  { kind: 'paper', word: 'Paper', explains: 'bare paper without ink', key: '1' },
  { kind: 'strokes', word: 'Strokes', explains: 'writing with one nib', key: '2' },
  { kind: 'swab', word: 'Swab', explains: 'an area covered with ink', key: '3' },
  { kind: 'bar', word: 'Bar', explains: 'ink crossing a printed black bar', key: '4' },
  { kind: 'strip', word: 'Strip', explains: 'a chromatography strip’s lane', key: '5' },
  { kind: 'hatch', word: 'Hatch', explains: 'a hatched field before or after water or light', key: '6' },
  { kind: 'swipe', word: 'Swipe', explains: 'ink smeared to one side', key: '7' },
  { kind: 'reverse', word: 'Reverse', explains: 'the back of the paper behind a sample', key: '8' },
];

const PEN_KINDS: readonly RegionKind[] = ['strokes', 'swab', 'bar', 'hatch', 'swipe'];

/** Whether a pen made it, so that nib and nib width belong to it. */
export function hasPen(kind: RegionKind): boolean {
  return PEN_KINDS.includes(kind);
}

export function kindWord(kind: RegionKind): string {
  return REGION_KINDS.find((k) => k.kind === kind)?.word ?? kind;
}

/** A region's fields as a form holds them, whatever its kind. */
export interface RegionFields {
  readonly id: string;
  readonly scan: string;
  readonly kind: RegionKind;
  readonly boxMm?: readonly [number, number, number, number] | undefined;
  readonly paper?: string | undefined;
  readonly nib?: string | undefined;
  readonly nibWidthMm?: number | undefined;
  readonly run?: 'fresh' | 'dried' | undefined;
  readonly travel?: Direction | undefined;
  readonly originMm?: number | undefined;
  readonly frontMm?: number | undefined;
  readonly runS?: number | undefined;
  readonly liquid?: string | undefined;
  readonly temperatureC?: number | undefined;
  readonly bands?: StripRegion['bands'] | undefined;
  readonly agent?: string | undefined;
  readonly state?: 'before' | 'after' | undefined;
  readonly of?: string | undefined;
  readonly page?: 'back' | 'next' | undefined;
  readonly direction?: Direction | undefined;
}

type StripRegion = Extract<SheetRegion, { kind: 'strip' }>;

export type Direction = 'up' | 'down' | 'left' | 'right';

/** The region with those fields that its kind has; fields of other kinds and empty ones are left out. */
export function regionOf(fields: RegionFields): SheetRegion {
  const { id, scan, kind } = fields;
  const any = {
    id,
    scan,
    ...(fields.boxMm && { boxMm: [...fields.boxMm] as [number, number, number, number] }),
    ...(fields.paper && { paper: fields.paper }),
  };
  const pen = {
    ...(fields.nib && { nib: fields.nib }),
    ...(fields.nibWidthMm !== undefined && { nibWidthMm: fields.nibWidthMm }),
  };
  switch (kind) {
    case 'paper':
      return { ...any, kind };
    case 'strokes':
    case 'swab':
    case 'bar':
      return { ...any, ...pen, kind };
    case 'strip':
      return {
        ...any,
        kind,
        ...(fields.run && { run: fields.run }),
        ...(fields.originMm !== undefined && { originMm: fields.originMm }),
        ...(fields.frontMm !== undefined && { frontMm: fields.frontMm }),
        ...(fields.travel && { travel: fields.travel }),
        ...(fields.runS !== undefined && { runS: fields.runS }),
        ...(fields.liquid && { liquid: fields.liquid }),
        ...(fields.temperatureC !== undefined && { temperatureC: fields.temperatureC }),
        ...(fields.bands && fields.bands.length > 0 && { bands: fields.bands }),
      };
    case 'hatch':
      return {
        ...any,
        ...pen,
        kind,
        ...(fields.agent && { agent: fields.agent }),
        ...(fields.state && { state: fields.state }),
        ...(fields.of && { of: fields.of }),
      };
    case 'swipe':
      return { ...any, ...pen, kind, ...(fields.direction && { direction: fields.direction }) };
    case 'reverse':
      return { ...any, kind, ...(fields.of && { of: fields.of }), ...(fields.page && { page: fields.page }) };
  }
}

/** The way back: every region is a set of fields. */
export function fieldsOf(region: SheetRegion): RegionFields {
  return region;
}

/** Which regions one of this kind may name by 'of': the rule of the sheet (electron/sheet/checkLinks.ts). */
export function mayBeOf(region: RegionFields, other: RegionFields): boolean {
  if (region.id === other.id) return false;
  if (region.kind === 'hatch') return other.kind === 'hatch' && other.state !== 'after';
  if (region.kind === 'reverse') return other.kind !== 'strip' && other.kind !== 'reverse';
  return false;
}

/** Another kind. Links that do not fit it go. */
export function withKind(region: SheetRegion, kind: RegionKind): SheetRegion {
  const { of: _, ...rest } = fieldsOf(region);
  return regionOf({ ...rest, kind });
}
