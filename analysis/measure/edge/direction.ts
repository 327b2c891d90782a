/** Directions that a line's width is told by: a stub, a nib that spreads under the hand. */
import type { CentreLine } from './centreLine.ts';

export const DIRECTIONS = 12;

/** Which of the directions, opposite ways alike. */
export function directionOf({ nx, ny }: CentreLine, i: number): number {
  const turns = Math.atan2(-nx[i], ny[i]) / Math.PI;
  return (Math.floor(turns * DIRECTIONS + 0.5) + 2 * DIRECTIONS) % DIRECTIONS;
}
