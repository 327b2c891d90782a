/** Where the width of a line is its own: away from what was left out, and with nothing beside it on either hand. */
import type { Ink } from '../../locate/inkMask.ts';
import type { CentreLine } from './centreLine.ts';
import { directionOf, DIRECTIONS } from './direction.ts';
import type { EdgeSide } from './lineEdges.ts';

interface CountedStroke {
  readonly stroke: { readonly line: CentreLine; readonly single: Uint8Array };
  readonly edges: { readonly left: EdgeSide; readonly right: EdgeSide };
  readonly counted: Uint8Array;
}

/** Beside a crossing another stroke's edge swells the line so far, mm: nearer, widths scatter two to four times as much (study edges). */
const SWELLS_MM = 0.2;
/** Lines of a direction of which less than this share would be left count as they are. */
const LEAST_LEFT = 0.5;
/** Other ink nearer than this share of the way outwards spoils an edge. */
const FREE_SHARE = 0.7;

export type IsFree = (line: CentreLine, station: number, side: EdgeSide) => boolean;

/** Whether nothing else lies beside an edge. */
export function freeOf({ mask: { widthPx: w, heightPx: h }, awayPx }: Ink, sigmaPx: number): IsFree {
  const out = 2.5 * sigmaPx + 1;
  return ({ x: lineX, y: lineY, nx, ny }, i, { side, away }) => {
    const by = side * (away[i] + out);
    const x = Math.round(lineX[i] + by * nx[i]);
    const y = Math.round(lineY[i] + by * ny[i]);
    return x >= 0 && y >= 0 && x < w && y < h && awayPx[y * w + x] >= FREE_SHARE * out;
  };
}

/** The same strokes, their widths counted where they are firm. */
export function firmStrokes<S extends CountedStroke>(strokes: readonly S[], isFree: IsFree, pxPerMm: number): S[] {
  const firm = strokes.map(({ stroke: { line, single }, edges, counted }) => {
    const left = Uint8Array.from(counted);
    const reach = Math.round((SWELLS_MM * pxPerMm) / line.stepPx);
    single.forEach((is, i) => {
      if (is === 0) left.fill(0, Math.max(0, i - reach), i + reach + 1);
    });
    for (let i = 0; i < left.length; i++) {
      if (left[i] === 1 && !(isFree(line, i, edges.left) && isFree(line, i, edges.right))) left[i] = 0;
    }
    return left;
  });
  const all = byDirection(strokes, (s) => strokes[s].counted);
  const kept = byDirection(strokes, (s) => firm[s]);
  return strokes.map((stroke, s) => {
    const { line } = stroke.stroke;
    const counted = stroke.counted.map((c, i) => {
      const d = directionOf(line, i);
      return kept[d] < LEAST_LEFT * all[d] ? c : firm[s][i];
    });
    return { ...stroke, counted };
  });
}

function byDirection(strokes: readonly CountedStroke[], countedOf: (s: number) => Uint8Array): Float64Array {
  const sums = new Float64Array(DIRECTIONS);
  strokes.forEach(({ stroke: { line } }, s) => {
    countedOf(s).forEach((c, i) => {
      if (c === 1) sums[directionOf(line, i)]++;
    });
  });
  return sums;
}
