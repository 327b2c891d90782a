/** Edges of a region's lines as shapes: where ink ends to a fraction of a pixel, some widths between, hairs beyond. */
import type { EdgeDetail, PlacePx } from '../../analysis/measure/edge/edgeDetail.ts';
import { cased, n } from './svg.ts';

/** A part of a region, px of the region. */
export interface Piece {
  readonly left: number;
  readonly top: number;
  readonly widthPx: number;
  readonly heightPx: number;
}

/** Half of a width's tick, points. */
const TICK = 2.5;

/** @param perPoint points of the drawing to a pixel of the scan. Only what the piece shows is drawn. */
export function edgeShapes(edge: EdgeDetail, piece: Piece, perPoint: number, colour: string): string {
  const inside = ([x, y]: PlacePx): boolean =>
    x >= piece.left && y >= piece.top && x <= piece.left + piece.widthPx && y <= piece.top + piece.heightPx;
  const at = ([x, y]: PlacePx): readonly [number, number] => [(x - piece.left) * perPoint, (y - piece.top) * perPoint];
  const seen = <T extends { readonly from: PlacePx; readonly to: PlacePx }>(all: readonly T[]): readonly T[] =>
    all.filter(({ from, to }) => inside(from) && inside(to));
  return (
    cased(edgesPath(edge, inside, at), colour, 1.1, 'stroke-linecap="round"') +
    cased(
      seen(edge.whiskers)
        .map(({ from, to }) => widthPath(at(from), at(to)))
        .join(''),
      colour,
      0.9,
    ) +
    cased(
      seen(edge.hairs)
        .map(({ from, to }) => linePath(at(from), at(to)))
        .join(''),
      colour,
      1.8,
      'stroke-linecap="round"',
    )
  );
}

/** Pieces of line between places that are seen; a line that leaves the piece breaks there. */
function edgesPath(
  { edges }: EdgeDetail,
  inside: (place: PlacePx) => boolean,
  at: (place: PlacePx) => readonly [number, number],
): string {
  let d = '';
  for (const { points } of edges) {
    let drawing = false;
    for (let i = 0; i + 1 < points.length; i += 2) {
      const place = [points[i], points[i + 1]] as const;
      if (inside(place)) {
        const [x, y] = at(place);
        d += `${drawing ? 'L' : 'M'}${n(x)} ${n(y)}`;
        drawing = true;
      } else drawing = false;
    }
  }
  return d;
}

type Point = readonly [x: number, y: number];

function linePath([ax, ay]: Point, [bx, by]: Point): string {
  return `M${n(ax)} ${n(ay)}L${n(bx)} ${n(by)}`;
}

/** From edge to edge, with a tick along either. */
export function widthPath(from: Point, to: Point): string {
  const length = Math.hypot(to[0] - from[0], to[1] - from[1]) || 1;
  const [nx, ny] = [(-(to[1] - from[1]) / length) * TICK, ((to[0] - from[0]) / length) * TICK];
  const tick = ([x, y]: Point): string => linePath([x - nx, y - ny], [x + nx, y + ny]);
  return linePath(from, to) + tick(from) + tick(to);
}
