/**
 * Ink of another breadth than a region's kind says: a swab in the box of a writing sample, lines in that of a swab. Both are the ink itself, so that
 * no colour tells; counted together, the shading of lines would be that between them and the swab.
 */
import { type Component, components } from '../raster/components.ts';
import type { Mask } from '../raster/raster.ts';

/** What a region holds: a pen's lines, or an area that was laid on. */
export type Breadth = 'lines' | 'areas';

/** What is so many times as broad as the lines are by most of their length is none of them: crossings, pools and filled loops are narrower. */
const BROADER = 2;
/** Nor is what the box's border cuts off so far along it, mm: no line of writing follows it. */
const CUT_MM = 6;
/** Lines are at most this part of the broadest area's breadth … */
const NARROWER = 0.25;
/** … and so many times as long as broad; a dab of the same ink is not. */
const LONG = 4;
/** Less of it, a blot or a dry streak, does little (as ink that is another sample's, measure/sharedInk.ts). */
const LEAST_SHARE = 0.03;

interface Piece {
  readonly component: Component;
  /** Of lines about their width, whatever way they run. */
  readonly breadthPx: number;
}

/** Clears what is not of the breadth that is wanted, in place. @returns what was cleared, null when there is none */
export function setOtherBreadthsAside(mask: Mask, wanted: Breadth, pxPerMm: number): Mask | null {
  const pieces = components(mask).map((component) => ({ component, breadthPx: breadthOf(component, mask) }));
  const others = wanted === 'lines' ? areasAmong(pieces, mask, CUT_MM * pxPerMm) : linesAmong(pieces);
  if (others.length === 0 || area(others) < LEAST_SHARE * area(pieces)) return null;
  const { data, widthPx, heightPx } = mask;
  const aside = new Uint8Array(data.length);
  for (const { runs } of others.map(({ component }) => component)) {
    for (let r = 0; r < runs.length; r += 3) {
      const [from, to] = [runs[r] * widthPx + runs[r + 1], runs[r] * widthPx + runs[r + 2] + 1];
      data.fill(0, from, to);
      aside.fill(1, from, to);
    }
  }
  return { data: aside, widthPx, heightPx };
}

function areasAmong(pieces: readonly Piece[], mask: Mask, cutPx: number): readonly Piece[] {
  const sorted = pieces.toSorted((a, b) => a.breadthPx - b.breadthPx);
  const half = sorted.reduce((sum, piece) => sum + lengthPx(piece), 0) / 2;
  let passed = 0;
  const usual = sorted.find((piece) => (passed += lengthPx(piece)) >= half)?.breadthPx ?? Infinity;
  return sorted.filter(
    ({ component, breadthPx }) =>
      breadthPx > BROADER * usual || (breadthPx > usual && alongBorder(component.runs, mask) > cutPx),
  );
}

function linesAmong(pieces: readonly Piece[]): readonly Piece[] {
  const broadest = pieces.reduce((most, { breadthPx }) => Math.max(most, breadthPx), 0);
  return pieces.filter((p) => p.breadthPx < NARROWER * broadest && lengthPx(p) > LONG * p.breadthPx);
}

function lengthPx({ component, breadthPx }: Piece): number {
  return component.area / breadthPx;
}

function area(pieces: readonly Piece[]): number {
  return pieces.reduce((sum, { component }) => sum + component.area, 0);
}

/** From the mean lengths of its rows and of its columns of pixels, each a width over the cosine of a slant. */
function breadthOf({ area: pixels, runs }: Component, { data, widthPx }: Mask): number {
  let columns = 0;
  for (let r = 0; r < runs.length; r += 3) columns += beginning(data, widthPx, runs[r], runs[r + 1], runs[r + 2]);
  return pixels / Math.hypot(runs.length / 3, columns);
}

/** How many of a run's pixels have none above them: there a column begins. */
function beginning(data: Uint8Array, widthPx: number, y: number, first: number, last: number): number {
  if (y === 0) return last - first + 1;
  const above = (y - 1) * widthPx;
  let count = 0;
  for (let p = above + first; p <= above + last; p++) count += 1 - data[p];
  return count;
}

/** How far a piece goes along the raster's border without a gap, px, on whichever side it goes farthest. */
function alongBorder(runs: Int32Array, { widthPx: w, heightPx: h }: Mask): number {
  let farthest = 0;
  const sides = [0, w - 1].map((column) => ({ column, row: -2, length: 0 }));
  for (let r = 0; r < runs.length; r += 3) {
    const [y, first, last] = [runs[r], runs[r + 1], runs[r + 2]];
    if (y === 0 || y === h - 1) farthest = Math.max(farthest, last - first + 1);
    for (const side of sides) {
      if (first > side.column || last < side.column) continue;
      side.length = side.row === y - 1 ? side.length + 1 : 1;
      side.row = y;
      farthest = Math.max(farthest, side.length);
    }
  }
  return farthest;
}
