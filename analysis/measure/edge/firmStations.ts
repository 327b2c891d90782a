/** Where the width of a line is its own: away from what was left out, and with nothing beside it on either hand. */
import type { Ink } from '../../locate/inkMask.ts';
import type { CentreLine } from './centreLine.ts';
import { DIRECTIONS } from './direction.ts';
import type { EdgeSide } from './lineEdges.ts';

interface CountedStroke {
  readonly stroke: { readonly line: CentreLine; readonly single: Uint8Array; readonly direction: Uint8Array };
  readonly edges: { readonly left: EdgeSide; readonly right: EdgeSide };
  readonly counted: Uint8Array;
}

/** Beside a crossing another stroke's edge swells the line so far, mm: nearer, widths scatter two to four times as much (study edges). */
const SWELLS_MM = 0.2;
/** Lines of a direction of which less than this share would be left count as they are. */
const LEAST_LEFT = 0.5;
/** Other ink nearer than this share of the way outwards spoils an edge. */
const FREE_SHARE = 0.7;

/** What is looked at beside edges. */
export interface Beside {
  readonly awayPx: Float32Array;
  readonly widthPx: number;
  readonly heightPx: number;
  /** px beyond the edge. */
  readonly out: number;
}

/** @param awayPx of the ink: of every pixel the distance to the nearest ink, px. @param sigmaPx of the edges' blur */
export function besideEdges(
  { mask: { widthPx, heightPx }, awayPx }: Pick<Ink, 'mask' | 'awayPx'>,
  sigmaPx: number,
): Beside {
  return { awayPx, widthPx, heightPx, out: 2.5 * sigmaPx + 1 };
}

/** Whether nothing else lies beside an edge. */
export function isFree(beside: Beside, line: CentreLine, i: number, { side, away }: EdgeSide): boolean {
  const { awayPx, widthPx: w, heightPx: h, out } = beside;
  const by = side * (away[i] + out);
  const x = Math.round(line.x[i] + by * line.nx[i]);
  const y = Math.round(line.y[i] + by * line.ny[i]);
  return x >= 0 && y >= 0 && x < w && y < h && awayPx[y * w + x] >= FREE_SHARE * out;
}

/** The same strokes, their widths counted where they are firm. */
export function firmStrokes<S extends CountedStroke>(strokes: readonly S[], beside: Beside, pxPerMm: number): S[] {
  const firm = strokes.map((stroke) => firmOf(stroke, beside, pxPerMm));
  const all = new Float64Array(DIRECTIONS);
  const kept = new Float64Array(DIRECTIONS);
  for (const [s, { stroke, counted }] of strokes.entries()) {
    addByDirection(stroke.direction, counted, all);
    addByDirection(stroke.direction, firm[s], kept);
  }
  const isEnough = Uint8Array.from(all, (a, d) => (kept[d] < LEAST_LEFT * a ? 0 : 1));
  return strokes.map((stroke, s) => {
    const { direction } = stroke.stroke;
    const counted = firm[s];
    for (let i = 0; i < counted.length; i++) if (isEnough[direction[i]] === 0) counted[i] = stroke.counted[i];
    return { ...stroke, counted };
  });
}

function firmOf(
  { stroke: { line, single }, edges, counted }: CountedStroke,
  beside: Beside,
  pxPerMm: number,
): Uint8Array {
  const firm = Uint8Array.from(counted);
  const reach = Math.round((SWELLS_MM * pxPerMm) / line.stepPx);
  for (let i = 0; i < firm.length; i++) if (single[i] === 0) firm.fill(0, Math.max(0, i - reach), i + reach + 1);
  for (let i = 0; i < firm.length; i++) {
    if (firm[i] === 1 && !(isFree(beside, line, i, edges.left) && isFree(beside, line, i, edges.right))) firm[i] = 0;
  }
  return firm;
}

function addByDirection(direction: Uint8Array, counted: Uint8Array, sums: Float64Array): void {
  for (let i = 0; i < counted.length; i++) sums[direction[i]] += counted[i];
}
