/** Directions that a line's width is told by: a stub, a nib that spreads under the hand. */
import type { CentreLine } from './centreLine.ts';

export const DIRECTIONS = 12;

/** Which of the directions a line has at each station, opposite ways alike. */
export function directionsOf({ nx, ny }: CentreLine): Uint8Array {
  const out = new Uint8Array(nx.length);
  for (let i = 0; i < out.length; i++) {
    const turns = Math.atan2(-nx[i], ny[i]) / Math.PI;
    out[i] = (Math.floor(turns * DIRECTIONS + 0.5) + 2 * DIRECTIONS) % DIRECTIONS;
  }
  return out;
}
