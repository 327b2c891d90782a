/** When a place of one sheet over another is believed. */
import type { Registration } from '../../locate/registerSheets.ts';

/** Cells that the two sides are laid over each other by, mm. */
export const CELL_MM = 0.1;
/** A place is believed when it correlates this much better than the best other place; docs/study/show-through.md. */
export const LEAST_SCORE = 1.35;
export const LEAST_CORRELATION = 0.12;
/** Below this a place that was not turned over may be chance, a page scanned on its side for one: twelve unmirrored ones of docs/study/show-through.md have 0.48 and more. */
export const SURELY_UNMIRRORED = 0.25;

/** null: nothing was found that could be laid over the other. */
export function isBelieved(registration: Registration | null): registration is Registration {
  return registration !== null && registration.score >= LEAST_SCORE && registration.correlation >= LEAST_CORRELATION;
}
