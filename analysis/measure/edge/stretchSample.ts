/**
 * Which stretches of a region's strokes are measured. Beyond some length nothing is gained: what another stretch would add to
 * a mean, a scatter or a count per centimetre is far below what is in doubt of it anyway.
 */
import type { SkeletonPath } from './skeletonPath.ts';

export interface StretchSample {
  readonly stretches: readonly Stretch[];
  /** Part of all the strokes' length that lies in them: 1, unless there is more than enough. */
  readonly share: number;
}

export interface Stretch extends SkeletonPath {
  /** From station to station, px. */
  readonly stepPx: number;
}

/** A longer path is cut into stretches about so long, mm: long against the window of an edge's smooth path, short enough that all lines are met. */
const STRETCH_MM = 25;
/** Of more pixels than this only every second stretch has a station at each; the others' lie further apart … */
const ENOUGH_PX = 6000;
/** … by this, mm: as far as the pixels of a scan of 300 an inch lie, whose edges are seen as well (study edges). */
const MOST_STEP_MM = 25.4 / 300;
/** Multiples of it, their whole parts off, lie evenly over 0 to 1 however many are taken, and fall in step with nothing that comes again and again (Weyl 1916). */
const GOLDEN = (Math.sqrt(5) - 1) / 2;

/** @param enoughMm So much of the strokes is measured. */
export function stretchSample(paths: readonly SkeletonPath[], pxPerMm: number, enoughMm: number): StretchSample {
  let total = 0;
  for (const { pixels } of paths) total += pixels.length;
  const share = Math.min(1, (enoughMm * pxPerMm) / Math.max(1, total));
  const all = share < 1 ? paths.flatMap((path) => piecesOf(path, STRETCH_MM * pxPerMm)) : paths;
  const some = all.filter((_, k) => ((k + 0.5) * GOLDEN) % 1 < share);
  let taken = 0;
  for (const { pixels } of some) taken += pixels.length;
  const apart = taken > ENOUGH_PX ? Math.max(1, MOST_STEP_MM * pxPerMm) : 1;
  return {
    stretches: some.map((stretch, k) => ({ ...stretch, stepPx: k % 2 === 0 ? 1 : apart })),
    share: taken / Math.max(1, total),
  };
}

function piecesOf({ pixels, freeStart, freeEnd }: SkeletonPath, aimedPx: number): SkeletonPath[] {
  const count = Math.max(1, Math.round(pixels.length / aimedPx));
  const at = (k: number) => Math.round((k * pixels.length) / count);
  return Array.from({ length: count }, (_, k) => ({
    pixels: pixels.subarray(at(k), at(k + 1)),
    freeStart: freeStart && k === 0,
    freeEnd: freeEnd && k === count - 1,
  }));
}
