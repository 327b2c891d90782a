/** All edges of a region as they are used: where they lie, which places count, their hairs and what lies across them. */
import type { Ink } from '../../locate/inkMask.ts';
import type { StrokeInterior } from '../../locate/strokeInterior.ts';
import { type Across, acrossOf } from './across.ts';
import { type Beside, besideEdges, firmStrokes, isFree } from './firmStations.ts';
import { leaveOutFused } from './fusedStations.ts';
import { type Hair, hairsOf, type MeanBeyond, meanBeyond } from './hairs.ts';
import { type EdgeLevels, type EdgeSide, type LineCores, lineCores, lineEdges, type TwoEdges } from './lineEdges.ts';
import { smoothPath, type SmoothPath } from './smoothPath.ts';
import { type StrokeEdges, strokeLines } from './strokeEdges.ts';
import { isUnevenBreadth, unevenBreadthPx } from './unevenBreadth.ts';
import { beyondWander, wanderOf } from './wander.ts';
import { quantileOfSorted } from '../../quantile.ts';
import type { Rooms } from '../../raster/rooms.ts';
import { tiledSpline } from '../../raster/tiledSpline.ts';

export interface FoundStroke {
  readonly stroke: StrokeEdges;
  readonly cores: LineCores;
  readonly edges: TwoEdges;
  readonly left: FoundEdge;
  readonly right: FoundEdge;
  /** 1 where both edges count: single-layer ink, paper beside it, no hair, no end. */
  readonly counted: Uint8Array;
  /** 1 where both edges are the stroke's own, hairs or none. */
  readonly own: Uint8Array;
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
  /** Of all strokes. */
  readonly lengthPx: number;
  /** What looks like hairs and could be the edges' own wander. */
  readonly aside: readonly Hair[];
  /** How many more of those go outwards than the edges go inwards alike. */
  readonly asideBeyond: number;
  /** Hairs lie so close that they hide one another and the edge: only what reaches beyond them and the gaps between them are told. */
  readonly isFringe: boolean;
  /** Beyond those there is a ring besides. */
  readonly isRinged: boolean;
}

/** What one look for hairs gives. */
interface WithHairs {
  readonly found: FoundStroke[];
  readonly beyond: MeanBeyond | null;
  readonly aside: readonly Hair[];
  readonly asideBeyond: number;
}

const HALF = 0.5;
/** ISO 13660's edge lies at this share of the fall from the paper's reflectance to the ink's. */
const ISO_SHARE = 0.6;
const ENOUGH_STATIONS = 1800;

/** @param scannerSigmaPx Sigma of the scanner's own blur; null when not known. */
export function foundEdges(
  ink: Ink,
  inside: Pick<StrokeInterior, 'graph' | 'crossings'>,
  pxPerMm: number,
  scannerSigmaPx: number | null,
  rooms?: Rooms,
): FoundEdges | null {
  const { widthPx: w, heightPx: h } = ink.mask;
  const spline = tiledSpline(ink.contrast, w, h, rooms);
  // Without a card the edges tell their own blur; a halo or a feathered edge would make it too wide to begin with.
  const assumed = scannerSigmaPx ?? Math.min(1.2, Math.max(0.5, (ink.edgeWidthPx ?? 2) / 2.7));
  const first = { ground: 0, sigmaPx: Math.max(0.3, assumed) };
  const strokes = strokeLines(spline, ink, inside, pxPerMm, first.sigmaPx);
  let stations = 0;
  let lengthPx = 0;
  for (const { line } of strokes) {
    stations += line.x.length;
    lengthPx += line.x.length * line.stepPx;
  }
  const some = enoughOf(strokes, stations);
  const usual = withHairs(some, first, null, false);
  const isFringe = isFringed(usual.found);
  const rough = isFringe ? withHairs(some, first, null, true) : usual;
  const { beyond } = rough;
  // Between hairs that hide one another nothing may be left to take a mean of.
  const across = acrossOf(spline, ink, usual.found, pxPerMm, first.sigmaPx);
  if (across === null) return null;
  const ringed = isFringe && usual.beyond ? beyondHairs(usual.beyond, rough.found, first.sigmaPx) : 0;
  const { ground, sigmaPx } = isFringe ? { ...first, ground: ringed } : across;
  const better = ground !== 0 || Math.abs(sigmaPx / first.sigmaPx - 1) > 0.06;
  // What lies beyond an edge is known by now, unless a ring has moved it.
  const again = () => withHairs(strokes, { ground, sigmaPx }, ground === 0 ? beyond : null, isFringe);
  const last = better || some !== strokes ? again() : rough;
  return {
    strokes: last.found,
    across,
    lengthPx,
    aside: last.aside,
    asideBeyond: last.asideBeyond,
    isFringe,
    isRinged: ringed > 0,
    at60,
  };

  /** Whether hairs were left that nobody told apart. */
  function isFringed(found: readonly FoundStroke[]): boolean {
    const edges = found.flatMap(({ stroke, cores, left, right }) =>
      [left, right].map((edge) => ({ stroke, cores, ...edge })),
    );
    return isUnevenBreadth(unevenBreadthPx(edges, ink.noise, pxPerMm), first.sigmaPx);
  }

  /** Not asked for before the blur is known. */
  function at60({ stroke, cores }: FoundStroke): TwoEdges {
    const { profiles, roughHalfPx } = stroke;
    const overPaper =
      cores.ground === 0 ? cores : lineCores(profiles, roughHalfPx, { ground: 0, sigmaPx: cores.sigmaPx }, pxPerMm);
    return lineEdges(profiles, overPaper, ISO_SHARE);
  }

  function withHairs(
    all: readonly StrokeEdges[],
    levels: EdgeLevels,
    known: MeanBeyond | null,
    isFringe: boolean,
  ): WithHairs {
    const { sigmaPx, ground } = levels;
    const free = besideEdges(ink, sigmaPx);
    const own = all.map((stroke) => {
      const { profiles, roughHalfPx } = stroke;
      const cores = lineCores(profiles, roughHalfPx, levels, pxPerMm);
      const edges = lineEdges(profiles, cores, HALF);
      return { stroke, cores, edges, counted: ownStations(stroke, edges, free) };
    });
    leaveOutFused(own);
    const both = own.map(({ stroke, cores, edges, counted }) => {
      const { line, bend } = stroke;
      const of = (side: EdgeSide) => ({
        stroke,
        side,
        counted,
        path: smoothPath(line, side.side, side.away, counted, bend, pxPerMm),
      });
      return { stroke, cores, edges, counted, left: of(edges.left), right: of(edges.right) };
    });
    const sides = both.flatMap(({ left, right }) => [left, right]);
    const beyond = known ?? overRing(meanBeyond(sides, pxPerMm, isFringe), ground);
    const wanderPx = wanderOf(sides);
    const hairs = sides.map((edge) => (beyond ? hairsOf({ ...edge, beyond, wanderPx, ink, sigmaPx, pxPerMm }) : []));
    const past = isFringe || beyond === null ? null : beyondWander(sides, hairs.flat(), beyond, sigmaPx, pxPerMm);
    const isHairy = isFringe || past?.isMore === true;
    const strokes = both.map(({ stroke, cores, edges, counted: own, left, right }, s): FoundStroke => {
      const beside = (2 * sigmaPx + 0.06 * pxPerMm) / stroke.line.stepPx;
      const found = ({ side, path }: typeof left, all: readonly Hair[]): FoundEdge => {
        const hairs = isHairy ? all : all.filter((hair) => !hair.isWithinWander);
        return { side, path, hairs, clear: clearStations(own, path, hairs, beside) };
      };
      const edge = { left: found(left, hairs[2 * s]), right: found(right, hairs[2 * s + 1]) };
      return { stroke, cores, edges, own, ...edge, counted: allOf(stroke.inner, edge.left.clear, edge.right.clear) };
    });
    const aside = isHairy ? [] : hairs.flat().filter((hair) => hair.isWithinWander);
    const asideBeyond = isHairy ? 0 : (past?.more ?? 0);
    return { found: firmStrokes(strokes, free, pxPerMm), beyond, aside, asideBeyond };
  }
}

function allOf(a: Uint8Array, b: Uint8Array, c: Uint8Array): Uint8Array {
  const out = new Uint8Array(a.length);
  for (let i = 0; i < out.length; i++) out[i] = a[i] & b[i] & c[i];
  return out;
}

/** A ring goes round hairs as well, and beyond its own edge stands out as they do: they stand out of it all the way. */
function overRing(beyond: MeanBeyond | null, ground: number): MeanBeyond | null {
  return beyond && ground > 0 ? { ...beyond, mean: beyond.mean.map((v) => Math.max(v, ground)) } : beyond;
}

/** Beyond the tips of hairs that hide one another there is paper; more than this of the ink's contrast is a ring's. */
const LEAST_RING = 0.02;

/** Contrast beyond the tips of nearly all hairs; 0 for paper. @param usual The median course, hairs or none */
function beyondHairs({ mean, stepPx }: MeanBeyond, found: readonly FoundStroke[], sigmaPx: number): number {
  const lengths = found.flatMap(({ left, right }) =>
    [left, right].flatMap(({ hairs }) => hairs.map((h) => h.lengthPx)),
  );
  if (lengths.length === 0) return 0;
  lengths.sort((a, b) => a - b);
  const at = Math.ceil((quantileOfSorted(lengths, 0.95) + 3 * sigmaPx) / stepPx);
  const level = mean[Math.min(mean.length - 1, at)];
  return level > LEAST_RING ? level : 0;
}

/** Single-layer stations with two edges and nothing else near them. */
function ownStations(stroke: StrokeEdges, { left, right }: TwoEdges, free: Beside): Uint8Array {
  const { line, single, roughHalfPx } = stroke;
  const own = new Uint8Array(single.length);
  for (let i = 0; i < own.length; i++) {
    const width = left.away[i] + right.away[i];
    if (single[i] === 0 || !(width > 0) || width > 3.2 * roughHalfPx[i] + 3) continue;
    own[i] = isFree(free, line, i, left) || isFree(free, line, i, right) ? 1 : 0;
  }
  return own;
}

/** What lies across edges is the mean of some thousand: every few of a large region's strokes hold as many, from all over it. */
function enoughOf(strokes: readonly StrokeEdges[], stations: number): readonly StrokeEdges[] {
  const every = Math.floor(stations / ENOUGH_STATIONS);
  return every < 2 ? strokes : strokes.filter((_, s) => s % every === 0);
}

/** Hairs part the ink's edge on both sides of their roots as well. @param beside So many stations. */
function clearStations(own: Uint8Array, path: SmoothPath, hairs: readonly Hair[], beside: number): Uint8Array {
  const clear = new Uint8Array(own.length);
  for (let i = 0; i < clear.length; i++) clear[i] = own[i] === 1 && path.outlier[i] === 0 ? 1 : 0;
  const reach = Math.ceil(beside);
  for (const { root } of hairs) clear.fill(0, Math.max(0, root - reach), root + reach + 1);
  return clear;
}
