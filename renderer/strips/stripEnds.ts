/** Origin and front of a strip: given by a person or found, in words and as lines. Pure. */
import { fixed } from '../../analysis/report/valueText.ts';
import type { StripDetail } from '../../electron/backend/api.ts';
import { stripLinePlace, type StripLine } from '../scans/stripLines.ts';
import type { StripRegion } from './bandEdits.ts';

export interface StripEnd {
  readonly line: StripLine;
  /** mm from the box's top (or left) edge; null: neither given nor found. */
  readonly mm: number | null;
  readonly by: 'given' | 'found' | 'nobody';
}

export const STRIP_LINES = ['origin', 'front'] as const;

/** @param detail as last measured; null: not yet. */
export function stripEnds(region: StripRegion, detail: StripDetail | null): readonly StripEnd[] {
  return STRIP_LINES.map((line): StripEnd => {
    const given = stripLinePlace(region, line);
    if (given !== null) return { line, mm: given, by: 'given' };
    const found = (line === 'origin' ? detail?.originMm : detail?.frontMm) ?? null;
    return { line, mm: found, by: found === null ? 'nobody' : 'found' };
  });
}

/** Origin and front come no nearer to each other, mm: past each other the liquid would have run the other way. */
const APART_MM = 1;

/** Where a hand may put an end, mm of the box: on its own side of the other. */
export function roomOf(end: StripEnd, ends: readonly StripEnd[], lengthMm: number): readonly [number, number] {
  const other = ends.find(({ line }) => line !== end.line)?.mm ?? null;
  if (other === null || end.mm === null) return [0, lengthMm];
  return end.mm > other ? [Math.min(lengthMm, other + APART_MM), lengthMm] : [0, Math.max(0, other - APART_MM)];
}

/** 'Origin 87.70 mm from the box’s top edge, given by hand'. */
export function endWords({ line, mm, by }: StripEnd, travel: StripDetail['travel']): string {
  const name = line === 'origin' ? 'Origin' : 'Front';
  if (mm === null) return `${name}: not found`;
  const edge = travel === 'left' || travel === 'right' ? 'left' : 'top';
  return `${name} ${fixed(mm, 2)} mm from the box’s ${edge} edge, ${by === 'given' ? 'given' : 'found'}`;
}

/** R_F of a place; null without both ends. */
export function rFAt(ends: readonly StripEnd[], boxMm: number): number | null {
  const [origin, front] = ends.map(({ mm }) => mm);
  if (origin === null || front === null || origin === front) return null;
  return (boxMm - origin) / (front - origin);
}

/** The place of an R_F, mm of the box; null without both ends. */
export function placeOfRF(ends: readonly StripEnd[], rF: number): number | null {
  const [origin, front] = ends.map(({ mm }) => mm);
  return origin === null || front === null ? null : origin + rF * (front - origin);
}
