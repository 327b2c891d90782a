/** The mean course of colour across an edge, each edge first moved so that its crossing lies at 0. */
import type { Ink } from '../../locate/inkMask.ts';
import { splineAt } from '../../raster/cubicSpline.ts';
import type { TwoEdges } from './lineEdges.ts';
import type { StrokeEdges } from './strokeEdges.ts';

/** What the mean is taken over. */
export interface CountedEdges {
  readonly stroke: StrokeEdges;
  readonly edges: TwoEdges;
  readonly counted: Uint8Array;
}

export interface MeanProfile {
  /** px from the crossing: negative outside. Evenly spaced. */
  readonly atPx: Float64Array;
  readonly stepPx: number;
  /** Signal over local paper, three channels, and the contrast: what the fits look at. */
  readonly channels: readonly [Float64Array, Float64Array, Float64Array];
  readonly contrast: Float64Array;
  /** Edges that each place is the mean of. */
  readonly counts: Float64Array;
  /** The same of a part of the edges only, by groups of stretches along the strokes: for the scatter. */
  readonly groups: readonly ProfileGroup[];
  /** Mean width of the lines seen, px. */
  readonly lineWidthPx: number;
}

interface ProfileGroup {
  readonly sums: readonly [Float64Array, Float64Array, Float64Array, Float64Array];
  readonly counts: Float64Array;
}

/** As many edges as this tell the mean well enough. */
const MOST_EDGES = 3000;
const GROUPS = 12;
/** A stretch whose edges belong to one group, mm: longer than fibres and noise hang together. */
const STRETCH_MM = 1.5;
const OUTSIDE_MM = 1.1;
const INSIDE_MM = 0.45;
/** Where other ink is about as near as the stroke's own, a place is not this edge's. */
const OWN_SHARE = 0.85;

/** Null when no edge counts. */
export function meanProfile(
  contrastSpline: Float32Array,
  ink: Ink,
  strokes: readonly CountedEdges[],
  pxPerMm: number,
): MeanProfile | null {
  const stepPx = 0.5;
  const outside = Math.ceil((OUTSIDE_MM * pxPerMm) / stepPx);
  const insideMost = Math.ceil((INSIDE_MM * pxPerMm) / stepPx);
  const places = outside + insideMost + 1;
  const { widthPx: w, heightPx: h } = ink.mask;
  const planes = planesOf(ink);
  const seenAt = new Float64Array(3);
  const groups = Array.from({ length: GROUPS }, () => ({
    sums: [
      new Float64Array(places),
      new Float64Array(places),
      new Float64Array(places),
      new Float64Array(places),
    ] as const,
    counts: new Float64Array(places),
  }));
  let total = 0;
  for (const { counted } of strokes) for (const c of counted) total += c;
  const stride = Math.max(1, Math.ceil((2 * total) / MOST_EDGES));
  let stretch = 0;
  let seen = 0;
  let width = 0;
  const stretchStations = Math.max(1, Math.round(STRETCH_MM * pxPerMm));
  for (const { stroke, edges, counted } of strokes) {
    const { line } = stroke;
    for (let i = 0; i < line.x.length; i++) {
      if (i % stretchStations === 0) stretch++;
      if (counted[i] === 0 || i % stride !== 0) continue;
      const own = edges.left.away[i] + edges.right.away[i];
      width += own;
      seen++;
      for (const { side, away } of [edges.left, edges.right]) {
        const group = groups[(2 * stretch + (side < 0 ? 0 : 1)) % GROUPS];
        const ox = line.x[i] + side * away[i] * line.nx[i];
        const oy = line.y[i] + side * away[i] * line.ny[i];
        // From the edge outwards while this edge is the nearest ink, then inwards to the middle.
        for (let k = 0; k <= outside; k++) {
          if (!add(group, outside - k, ox, oy, side * line.nx[i], side * line.ny[i], k * stepPx, true)) break;
        }
        const inner = Math.min(insideMost, Math.floor((0.5 * own) / stepPx));
        for (let k = 1; k <= inner; k++) {
          if (!add(group, outside + k, ox, oy, side * line.nx[i], side * line.ny[i], -k * stepPx, false)) break;
        }
      }
    }
  }
  if (seen === 0) return null;
  const atPx = Float64Array.from({ length: places }, (_, k) => (k - outside) * stepPx);
  return { atPx, stepPx, ...meansOf(groups, null), groups, lineWidthPx: width / seen };

  function add(
    group: (typeof groups)[number],
    place: number,
    ox: number,
    oy: number,
    ux: number,
    uy: number,
    away: number,
    outward: boolean,
  ): boolean {
    const x = ox + away * ux;
    const y = oy + away * uy;
    if (outward && away > 2) {
      const px = Math.round(x);
      const py = Math.round(y);
      if (px < 0 || py < 0 || px >= w || py >= h) return false;
      if (ink.awayPx[py * w + px] < OWN_SHARE * away) return false;
    }
    const contrast = splineAt(contrastSpline, w, h, x, y);
    if (Number.isNaN(contrast)) return false;
    planes(x, y, seenAt);
    for (let c = 0; c < 3; c++) group.sums[c][place] += seenAt[c];
    group.sums[3][place] += contrast;
    group.counts[place]++;
    return true;
  }
}

/** Means over all groups but one; null: over all. */
export function meansOf(
  groups: readonly ProfileGroup[],
  without: number | null,
): Pick<MeanProfile, 'channels' | 'contrast' | 'counts'> {
  const places = groups[0].counts.length;
  const counts = new Float64Array(places);
  const sums = [0, 1, 2, 3].map(() => new Float64Array(places));
  groups.forEach((g, n) => {
    if (n === without) return;
    for (let k = 0; k < places; k++) {
      counts[k] += g.counts[k];
      for (let c = 0; c < 4; c++) sums[c][k] += g.sums[c][k];
    }
  });
  const mean = (c: number) => sums[c].map((s, k) => (counts[k] > 0 ? s / counts[k] : NaN));
  return { channels: [mean(0), mean(1), mean(2)], contrast: mean(3), counts };
}

/** The three channels of the ratio, read by Keys's cubic convolution, a = −1/2 (Keys 1981, IEEE Trans. ASSP 29, 1153–1160). */
function planesOf({ ratio, mask }: Ink): (x: number, y: number, out: Float64Array) => void {
  const w = mask.widthPx;
  const weights = new Float64Array(8);
  return (x, y, out) => {
    const left = Math.floor(x);
    const top = Math.floor(y);
    keys(x - left, weights, 0);
    keys(y - top, weights, 4);
    out.fill(0);
    for (let j = 0; j < 4; j++) {
      let i = 3 * ((top - 1 + j) * w + left - 1);
      for (let k = 0; k < 4; k++, i += 3) {
        const weight = weights[4 + j] * weights[k];
        out[0] += weight * ratio[i];
        out[1] += weight * ratio[i + 1];
        out[2] += weight * ratio[i + 2];
      }
    }
  };
}

function keys(u: number, out: Float64Array, from: number): void {
  out[from] = u * (-0.5 + u * (1 - 0.5 * u));
  out[from + 1] = 1 + u * u * (-2.5 + 1.5 * u);
  out[from + 2] = u * (0.5 + u * (2 - 1.5 * u));
  out[from + 3] = u * u * (-0.5 + 0.5 * u);
}
