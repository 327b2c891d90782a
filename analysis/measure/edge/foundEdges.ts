/** All edges of a region as they are used: where they lie, which places count, their hairs and what lies across them. */
import type { Ink } from '../../locate/inkMask.ts';
import type { StrokeInterior } from '../../locate/strokeInterior.ts';
import { splineCoefficients } from '../../raster/cubicSpline.ts';
import { type Across, acrossOf } from './across.ts';
import { firmStrokes, freeOf } from './firmStations.ts';
import { type Hair, hairsOf, meanBeyond } from './hairs.ts';
import { type EdgeSide, lineEdges, type TwoEdges } from './lineEdges.ts';
import { smoothPath, type SmoothPath } from './smoothPath.ts';
import { type StrokeEdges, strokeLines } from './strokeEdges.ts';

export interface FoundStroke {
  readonly stroke: StrokeEdges;
  readonly edges: TwoEdges;
  readonly left: FoundEdge;
  readonly right: FoundEdge;
  /** 1 where both edges count: single-layer ink, paper beside it, no hair, no end. */
  readonly counted: Uint8Array;
}

export interface FoundEdge {
  readonly side: EdgeSide;
  readonly path: SmoothPath;
  readonly hairs: readonly Hair[];
  /** 1 where this edge is its own and no hair's. */
  readonly clear: Uint8Array;
}

export interface FoundEdges {
  readonly strokes: readonly FoundStroke[];
  readonly across: Across;
  /** Edges at ISO 13660's level, 60 % of the fall from paper. */
  readonly at60: (stroke: FoundStroke) => TwoEdges;
  /** Of all skeletons. */
  readonly lengthPx: number;
}

/** ISO 13660's edge lies at this share of the fall from the paper's reflectance to the ink's. */
const ISO_SHARE = 0.6;
const ENOUGH_STATIONS = 3000;

/** @param scannerSigmaPx Sigma of the scanner's own blur; null when not known. */
export function foundEdges(
  ink: Ink,
  inside: Pick<StrokeInterior, 'graph' | 'crossings'>,
  pxPerMm: number,
  scannerSigmaPx: number | null,
): FoundEdges | null {
  const { widthPx: w, heightPx: h } = ink.mask;
  const spline = splineCoefficients(ink.contrast, w, h);
  // Without a card the edges tell their own blur; a halo or a feathered edge would make it too wide to begin with.
  const sigma = scannerSigmaPx ?? Math.min(1.2, Math.max(0.5, (ink.edgeWidthPx ?? 2) / 2.7));
  const first = { share: 0.5, ground: 0, sigmaPx: Math.max(0.3, sigma) };
  const strokes = strokeLines(spline, ink, inside, pxPerMm, first);
  let stations = 0;
  let lengthPx = 0;
  for (const { line } of strokes) {
    stations += line.x.length;
    lengthPx += line.x.length * line.stepPx;
  }
  const some = enoughOf(strokes, stations);
  const rough = withHairs(some, first.sigmaPx, 0);
  const across = acrossOf(spline, ink, rough, pxPerMm, first.sigmaPx);
  if (across === null) return null;
  const { ground, sigmaPx } = across;
  const better = ground !== 0 || Math.abs(sigmaPx / first.sigmaPx - 1) > 0.06;
  const found = better || some !== strokes ? withHairs(strokes, sigmaPx, ground) : rough;
  return { strokes: found, across, lengthPx, at60 };

  /** Not asked for before the blur is known. */
  function at60({ stroke }: FoundStroke): TwoEdges {
    return lineEdges(stroke.profiles, stroke.roughHalfPx, { share: ISO_SHARE, ground: 0, sigmaPx }, pxPerMm);
  }

  function withHairs(all: readonly StrokeEdges[], sigmaPx: number, ground: number): FoundStroke[] {
    const levels = { share: 0.5, ground, sigmaPx };
    const both = all.map((stroke) => {
      const edges = lineEdges(stroke.profiles, stroke.roughHalfPx, levels, pxPerMm);
      const own = ownStations(stroke, edges, sigmaPx);
      const of = (side: EdgeSide) => ({
        stroke,
        side,
        counted: own,
        path: smoothPath(stroke.line, side.side, side.away, own, pxPerMm),
      });
      return { stroke, edges, own, left: of(edges.left), right: of(edges.right) };
    });
    const beyond = meanBeyond(
      both.flatMap(({ left, right }) => [left, right]),
      pxPerMm,
    );
    const strokes = both.map(({ stroke, edges, own, left, right }): FoundStroke => {
      const found = ({ side, path }: typeof left): FoundEdge => {
        const hairs = beyond ? hairsOf(stroke, side, path, stroke.inner, beyond, depthOf, sigmaPx, pxPerMm) : [];
        return {
          side,
          path,
          hairs,
          clear: clearStations(own, path, hairs, (2 * sigmaPx + 0.06 * pxPerMm) / stroke.line.stepPx),
        };
      };
      const sides = { left: found(left), right: found(right) };
      const counted = stroke.inner.map((inner, i) => inner & sides.left.clear[i] & sides.right.clear[i]);
      return { stroke, edges, ...sides, counted };
    });
    return firmStrokes(strokes, freeOf(ink, sigmaPx), pxPerMm);
  }

  function depthOf(x: number, y: number): number {
    const px = Math.round(x);
    const py = Math.round(y);
    return px < 0 || py < 0 || px >= w || py >= h ? 0 : ink.depthPx[py * w + px];
  }

  /** Single-layer stations with two edges and nothing else near them. */
  function ownStations(stroke: StrokeEdges, { left, right }: TwoEdges, sigmaPx: number): Uint8Array {
    const { line, single } = stroke;
    const isFree = freeOf(ink, sigmaPx);
    return single.map((s, i) => {
      const width = left.away[i] + right.away[i];
      if (s === 0 || !(width > 0) || width > 3.2 * stroke.roughHalfPx[i] + 3) return 0;
      return isFree(line, i, left) || isFree(line, i, right) ? 1 : 0;
    });
  }
}

/** What lies across edges is the mean of some thousand: every few of a large region's strokes hold as many, from all over it. */
function enoughOf(strokes: readonly StrokeEdges[], stations: number): readonly StrokeEdges[] {
  const every = Math.floor(stations / ENOUGH_STATIONS);
  return every < 2 ? strokes : strokes.filter((_, s) => s % every === 0);
}

/** Hairs part the ink's edge on both sides of their roots as well. @param beside So many stations. */
function clearStations(own: Uint8Array, path: SmoothPath, hairs: readonly Hair[], beside: number): Uint8Array {
  const clear = own.map((o, i) => (o === 1 && path.outlier[i] === 0 ? 1 : 0));
  const reach = Math.ceil(beside);
  for (const { root } of hairs) clear.fill(0, Math.max(0, root - reach), root + reach + 1);
  return clear;
}
