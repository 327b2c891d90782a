/** Why a target is not taken as found: one line each, with what was found, what was expected and what to do. */
import type { Point } from '../../raster/homography.ts';
import type { LocatedLayout } from './targetLayout.ts';

export interface Refusal {
  readonly code: 'target-not-found' | 'target-mirrored' | 'targets-two' | 'target-unsure';
  readonly problem: string;
  /** Of the problem what was found and expected, for where the cause is known and says what to do. */
  readonly seen?: string;
}

/** From this score on a target counts as found. */
export const SURE = 0.5;

export function refusedMirrored({ name }: LocatedLayout, at: Point): Refusal {
  return {
    code: 'target-mirrored',
    problem: `The target "${name}" at ${placeOf(at)} is mirrored in this scan. Scan its printed side, without mirroring.`,
  };
}

export function refusedTwo({ name }: LocatedLayout, at: readonly Point[]): Refusal {
  return {
    code: 'targets-two',
    problem:
      `${at.length} targets like "${name}" lie in this scan, with their middles at ${at.map(placeOf).join(' and ')}; ` +
      `one was expected. Scan them one by one, or give the four points of the one that counts.`,
  };
}

export function refusedUnsure({ name }: LocatedLayout, at: Point, { score }: { readonly score: number }): Refusal {
  return {
    code: 'target-unsure',
    problem:
      `Something like the target "${name}" lies about ${placeOf(at)}, but that is not sure ` +
      `(${score.toFixed(2)}, from ${SURE} on it would be). If it is the target, put its four points there by hand; ` +
      `else scan it flat, free and whole.`,
  };
}

/** @param seen discs of the right size, those with an eye, and the scan's dpi; null for a layout without discs */
export function refusedNotFound(
  layout: LocatedLayout,
  seen: { readonly discs: number; readonly eyes: number; readonly dpi: number } | null,
): Refusal {
  const found = whatWasSeen(layout, seen);
  const dpi = seen === null ? '' : ` If it is there and whole, check that the scan's ${seen.dpi} dpi is right.`;
  const remedy = 'Scan the whole target face down and free, or give its four points by hand.';
  return { code: 'target-not-found', problem: `${found} ${remedy}${dpi}`, seen: found };
}

function whatWasSeen(
  { name, fiducial, patches }: LocatedLayout,
  seen: { readonly discs: number; readonly eyes: number } | null,
): string {
  if (seen === null || fiducial === undefined) {
    return `No grid of patches with the colours of the target "${name}" (${patches.length} patches) was found in this scan.`;
  }
  const { discs, eyes } = seen;
  const radius = fiducial.radiusMm;
  if (discs === 0) return `No disc of ${radius} mm radius was found in this scan; the target "${name}" has four.`;
  const what = `${discs} ${discs === 1 ? 'disc' : 'discs'} of ${radius} mm radius (${eyes} with a light eye)`;
  return discs < 3
    ? `Only ${what} found; the target "${name}" has four, the first with an eye.`
    : `${what} found, but they do not lie as on the target "${name}", with its patches between them.`;
}

function placeOf([x, y]: Point): string {
  return `${x.toFixed(0)}, ${y.toFixed(0)} mm`;
}
