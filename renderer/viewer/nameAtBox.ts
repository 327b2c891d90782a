/** Where a box on a scan bears its name, so that it never lies on the edge of the box above it. Pure. */

/** CSS px that a name with its halo takes above the edge of its own box. */
const ROOM = 18;
/** CSS px a letter takes. */
const LETTER = 6.4;
/** In the line of its own top edge, as a legend in a frame: from there it reaches as far up as down. CSS px. */
const IN_THE_LINE = { x: 8, y: 4 } as const;

/** Left, top, width and height, in px of the scan. */
export type Box = readonly [x: number, y: number, width: number, height: number];

/** About how wide a name is drawn, px of the scan: one wider than its box would run into the next one's. @param pxPerScreen px of the scan a CSS px. */
export function nameWidth(words: string, pxPerScreen: number): number {
  return words.length * LETTER * pxPerScreen;
}

/**
 * The start of the name's base line, CSS px from the box's top left corner.
 * @param above Where it stands when nothing is in the way.
 * @param others The scan's other boxes.
 * @param pxPerScreen px of the scan a CSS px.
 */
export function nameAtBox(
  [x, y]: Box,
  words: string,
  above: { readonly x: number; readonly y: number },
  others: readonly Box[],
  pxPerScreen: number,
): { readonly x: number; readonly y: number } {
  const right = x + nameWidth(words, pxPerScreen);
  const isInTheWay = ([left, top, width, height]: Box): boolean => {
    const gap = (y - (top + height)) / pxPerScreen;
    return gap >= 0 && gap < ROOM && left < right && left + width > x;
  };
  return others.some(isInTheWay) ? IN_THE_LINE : above;
}
