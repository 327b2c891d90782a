/** The levels of a scan's picture: level 0 is a single tile, the last is full resolution, each halves the one above, rounding up. */

export const TILE_SIZE = 256;

/** The longest side of an overview. */
export const OVERVIEW_PX = 1024;

export function levelsOf(widthPx: number, heightPx: number): number {
  let levels = 1;
  for (let side = Math.max(widthPx, heightPx); side > TILE_SIZE; side = Math.ceil(side / 2)) levels++;
  return levels;
}

/** How often the scan is halved until its longest side fits. */
export function halvingsTo(longestPx: number, widthPx: number, heightPx: number): number {
  let halvings = 0;
  for (let side = Math.max(widthPx, heightPx); side > longestPx; side = Math.ceil(side / 2)) halvings++;
  return halvings;
}

/** A side after some halvings, each rounding up. */
export function halved(px: number, halvings: number): number {
  return Math.ceil(px / 2 ** halvings);
}
