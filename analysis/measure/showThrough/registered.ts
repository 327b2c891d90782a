/** When a place of one sheet over another is believed. */
import type { Registration } from '../../locate/registerSheets.ts';

/** Cells that the two sides are laid over each other by, mm. */
export const CELL_MM = 0.1;
/** A place is believed when it correlates this much better than the best other place; docs/study/show-through.md. */
export const LEAST_SCORE = 1.35;
export const LEAST_CORRELATION = 0.12;

export function isBelieved(registration: Registration | null): registration is Registration {
  return registration !== null && registration.score >= LEAST_SCORE && registration.correlation >= LEAST_CORRELATION;
}
