/** The mean course of colour across an edge, each edge first moved so that its crossing lies at 0. */
import type { Ink } from '../../locate/inkMask.ts';
import { splineAlong } from '../../raster/cubicSpline.ts';
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
  const contrast = new Float64Array(places);
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
  for (const { stroke, edges, counted } of strokes) {
    const { line } = stroke;
    const stretchStations = Math.max(1, Math.round((STRETCH_MM * pxPerMm) / line.stepPx));
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
        const ux = side * line.nx[i];
        const uy = side * line.ny[i];
        // From the edge outwards while this edge is the nearest ink, then inwards to the middle.
        add(group, ox, oy, stepPx * ux, stepPx * uy, 0, -1, freeSteps(ox, oy, ux, uy));
        const inner = Math.min(insideMost, Math.floor((0.5 * own) / stepPx));
        add(group, ox - stepPx * ux, oy - stepPx * uy, -stepPx * ux, -stepPx * uy, 1, 1, inner);
      }
    }
  }
  if (seen === 0) return null;
  const atPx = Float64Array.from({ length: places }, (_, k) => (k - outside) * stepPx);
  return { atPx, stepPx, ...meansOf(groups, null), groups, lineWidthPx: width / seen };

  function freeSteps(ox: number, oy: number, ux: number, uy: number): number {
    for (let k = Math.floor(2 / stepPx) + 1; k <= outside; k++) {
      const away = k * stepPx;
      const px = Math.round(ox + away * ux);
      const py = Math.round(oy + away * uy);
      if (px < 0 || py < 0 || px >= w || py >= h || ink.awayPx[py * w + px] < OWN_SHARE * away) return k;
    }
    return outside + 1;
  }

  /** So many places from (x, y) on, into the sums from `from` steps beyond the edge on; up to where the raster ends. */
  function add(
    group: (typeof groups)[number],
    x: number,
    y: number,
    dx: number,
    dy: number,
    from: number,
    way: -1 | 1,
    count: number,
  ): void {
    splineAlong(contrastSpline, w, h, x, y, dx, dy, contrast, 0, count);
    let known = 0;
    while (known < count && !Number.isNaN(contrast[known])) known++;
    const first = outside + way * from;
    for (let k = 0; k < known; k++) {
      group.sums[3][first + way * k] += contrast[k];
      group.counts[first + way * k]++;
    }
    addChannels(ink.ratio, w, x, y, dx, dy, group.sums, first, way, known);
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

/** The three channels of the ratio, read by Keys's cubic convolution, a = −1/2 (Keys 1981, IEEE Trans. ASSP 29, 1153–1160), onto the sums. */
function addChannels(
  ratio: Float32Array,
  w: number,
  x: number,
  y: number,
  dx: number,
  dy: number,
  [red, green, blue]: ProfileGroup['sums'],
  first: number,
  way: -1 | 1,
  count: number,
): void {
  const weights = new Float64Array(4);
  for (let place = first, end = first + way * count; place !== end; place += way, x += dx, y += dy) {
    const left = Math.floor(x);
    const top = Math.floor(y);
    const u = x - left;
    const v = y - top;
    weights[0] = v * (-0.5 + v * (1 - 0.5 * v));
    weights[1] = 1 + v * v * (-2.5 + 1.5 * v);
    weights[2] = v * (0.5 + v * (2 - 1.5 * v));
    weights[3] = v * v * (-0.5 + 0.5 * v);
    const a = u * (-0.5 + u * (1 - 0.5 * u));
    const b = 1 + u * u * (-2.5 + 1.5 * u);
    const c = u * (0.5 + u * (2 - 1.5 * u));
    const d = u * u * (-0.5 + 0.5 * u);
    let r = 0;
    let g = 0;
    let bl = 0;
    for (let j = 0, i = 3 * ((top - 1) * w + left - 1); j < 4; j++, i += 3 * w) {
      const q = weights[j];
      r += q * (a * ratio[i] + b * ratio[i + 3] + c * ratio[i + 6] + d * ratio[i + 9]);
      g += q * (a * ratio[i + 1] + b * ratio[i + 4] + c * ratio[i + 7] + d * ratio[i + 10]);
      bl += q * (a * ratio[i + 2] + b * ratio[i + 5] + c * ratio[i + 8] + d * ratio[i + 11]);
    }
    red[place] += r;
    green[place] += g;
    blue[place] += bl;
  }
}
