/**
 * The last part of a pixel: the layout drawn in the colours that are seen is laid over the picture, and its four corners
 * are moved until both agree best (Gauss–Newton on the edges of all patches at once; Lucas & Kanade 1981, Proc. IJCAI, 674–679).
 * Blur moves the edges of a dark patch outwards on all sides alike, so it moves no corner.
 */
import { type Homography, homography, invertHomography, mapPoint, type Point } from '../../raster/homography.ts';
import type { ColourRaster } from './colourRaster.ts';
import type { ExpectedPatch } from './targetLayout.ts';
import { solve } from './solve.ts';

/** A place that is known beforehand, such as the middle of a disc. */
export interface KnownPlace {
  readonly mm: Point;
  readonly px: Point;
}

export interface Aligned {
  readonly toPx: Homography;
  /** Root mean square of what is left about the edges, coded values. */
  readonly misfit: number;
}

/** Widths of the drawn edges, standard deviations in px, one round of steps each: broad ones reach further. */
const BLURS_PX = [2, 1.3, 0.9];
const STEPS_A_BLUR = 4;
/** Where a coarser picture was aligned before. */
const FINE_BLURS_PX = [1.3, 0.9];
const FINE_STEPS = 2;
/** Around patches as far as this share of the gap between them counts: further out the card may end. Least: a share of their side. */
const GAP_SHARE = 0.6;
const LEAST_SHARE = 0.08;
/** Residuals beyond this count less and less (Cauchy): writing, fingers, a wrong colour. */
const SOFT = 0.06;
const FEWEST_EDGE_PIXELS = 60;
/** A known place weighs as much as all edges together, if they rise by the root of this a pixel: about what clear edges do. */
const EDGE_SLOPE = 0.01;
/** Coarser pictures of larger patches tell as much. */
const MOST_PIXELS = 120_000;
/** Whoever moves a corner further than this share of a patch lost its way. */
const FURTHEST = 0.4;

/** @param start Layout mm → px, within a pixel or two. @returns null when the edges fix no place */
export function alignPatches(
  raster: ColourRaster,
  patches: readonly ExpectedPatch[],
  start: Homography,
  known: readonly KnownPlace[] = [],
  fine = false,
): Aligned | null {
  const outline = outlineOf(patches);
  const drawing = new Drawing(patches, outline);
  const from = outline.map((p) => mapPoint(start, p));
  let corners = from;
  const stride = Math.max(1, Math.floor(Math.sqrt(areaOf(corners) / MOST_PIXELS)));
  let misfit = 0;
  for (const blur of fine ? FINE_BLURS_PX : BLURS_PX) {
    for (let step = 0; step < (fine ? FINE_STEPS : STEPS_A_BLUR); step++) {
      const toPx = homography(outline, corners);
      drawing.colour(raster, toPx);
      const moved = improved(raster, drawing, outline, corners, blur, stride, known);
      if (moved === null) return null;
      misfit = moved.misfit;
      const furthest = Math.max(...moved.by.map(Math.abs));
      // A step of several pixels leaves the ground on which it was reckoned.
      const share = Math.min(1, 1.5 / furthest);
      corners = corners.map(([x, y], k): Point => [x + share * moved.by[2 * k], y + share * moved.by[2 * k + 1]]);
      if (furthest < 0.02) break;
    }
  }
  const strayed = Math.max(...corners.map(([x, y], k) => Math.hypot(x - from[k][0], y - from[k][1])));
  if (strayed > FURTHEST * drawing.sideMm * Math.sqrt(areaOf(from) / areaOf(outline))) return null;
  return { toPx: homography(outline, corners), misfit };
}

/** The layout as it would look: patches in the colours that are seen, the ground between in its own. */
class Drawing {
  readonly patches: readonly ExpectedPatch[];
  readonly #columns: number;
  readonly #cellMm: number;
  readonly #left: number;
  readonly #top: number;
  /** Patches near each cell of a coarse net over the layout. */
  readonly #near: (readonly number[])[];
  readonly #reachMm: number;
  readonly sideMm: number;
  readonly rgb: Float64Array;

  constructor(patches: readonly ExpectedPatch[], outline: readonly Point[]) {
    this.patches = patches;
    this.rgb = new Float64Array(3 * patches.length);
    const sides = patches.map(({ boxMm }) => Math.min(boxMm[2], boxMm[3])).toSorted((a, b) => a - b);
    this.#cellMm = sides[sides.length >> 1] / 2;
    this.sideMm = sides[sides.length >> 1];
    this.#reachMm = Math.max(LEAST_SHARE * this.sideMm, GAP_SHARE * gapOf(patches, this.sideMm));
    this.#left = outline[0][0] - this.#reachMm;
    this.#top = outline[0][1] - this.#reachMm;
    this.#columns = Math.ceil((outline[2][0] + this.#reachMm - this.#left) / this.#cellMm) + 1;
    const rows = Math.ceil((outline[2][1] + this.#reachMm - this.#top) / this.#cellMm) + 1;
    const near: number[][] = Array.from({ length: this.#columns * rows }, () => []);
    // A patch is drawn a little way into its neighbours' cells: blur reaches there.
    const reach = this.#reachMm;
    patches.forEach(({ boxMm: [x, y, w, h] }, k) => {
      const c1 = Math.floor((x + w + reach - this.#left) / this.#cellMm);
      const r1 = Math.floor((y + h + reach - this.#top) / this.#cellMm);
      for (let r = Math.max(0, Math.floor((y - reach - this.#top) / this.#cellMm)); r <= Math.min(r1, rows - 1); r++) {
        for (
          let c = Math.max(0, Math.floor((x - reach - this.#left) / this.#cellMm));
          c <= Math.min(c1, this.#columns - 1);
          c++
        ) {
          near[r * this.#columns + c].push(k);
        }
      }
    });
    this.#near = near;
  }

  /** Takes the patches' colours, and the ground's, from where the layout lies now. */
  colour(raster: ColourRaster, toPx: Homography): void {
    this.patches.forEach(({ boxMm: [x, y, w, h] }, k) => {
      const sum = [0, 0, 0];
      let n = 0;
      for (let i = 0; i < 16; i++) {
        const u = x + w * (0.3 + (0.4 * (i % 4)) / 3);
        const v = y + h * (0.3 + (0.4 * (i >> 2)) / 3);
        if (addAt(raster, mapPoint(toPx, [u, v]), sum)) n++;
      }
      for (let c = 0; c < 3; c++) this.rgb[3 * k + c] = n > 0 ? sum[c] / n : NaN;
    });
  }

  /** Whether a place lies near the edge of a patch. */
  hasEdge(near: readonly number[], u: number, v: number, withinMm: number): boolean {
    for (const k of near) {
      const [x, y, w, h] = this.patches[k].boxMm;
      const depth = Math.min(u - x, x + w - u, v - y, y + h - v);
      if (depth > -withinMm && depth < withinMm) return true;
    }
    return false;
  }

  /** Patches near a place of the layout; none: too far off to count. */
  near(u: number, v: number): readonly number[] {
    const column = Math.floor((u - this.#left) / this.#cellMm);
    const row = Math.floor((v - this.#top) / this.#cellMm);
    if (column < 0 || column >= this.#columns || row < 0) return [];
    return this.#near[row * this.#columns + column] ?? [];
  }
}

interface Moved {
  /** x and y of each corner, px. */
  readonly by: readonly number[];
  readonly misfit: number;
}

function improved(
  raster: ColourRaster,
  drawing: Drawing,
  outline: readonly Point[],
  corners: readonly Point[],
  blurPx: number,
  stride: number,
  known: readonly KnownPlace[],
): Moved | null {
  const { rgb, widthPx, heightPx } = raster;
  const toPx = homography(outline, corners);
  const back = invertHomography(toPx);
  const blurMm = blurPx / Math.sqrt(areaOf(corners) / areaOf(outline));
  const ground = groundOf(raster, drawing, back, corners, 3 * stride);
  const [left, top] = outline[0];
  const widthMm = outline[2][0] - left;
  const heightMm = outline[2][1] - top;
  const equations = new CornerEquations();
  const [here, across, down] = [
    [0, 0, 0],
    [0, 0, 0],
    [0, 0, 0],
  ];
  const step = 0.25 * blurPx;
  let squares = 0;
  const [x0, y0, x1, y1] = bounds(corners, widthPx, heightPx);
  for (let y = y0; y < y1; y += stride) {
    for (let x = x0; x < x1; x += stride) {
      const px = x + 0.5;
      const py = y + 0.5;
      const w = back[6] * px + back[7] * py + back[8];
      const u = (back[0] * px + back[1] * py + back[2]) / w;
      const v = (back[3] * px + back[4] * py + back[5]) / w;
      const near = drawing.near(u, v);
      if (near.length === 0 || !drawing.hasEdge(near, u, v, 3 * blurMm)) continue;
      if (!draw(drawing, near, u, v, blurMm, ground, here)) continue;
      const [ux, vx] = mapPoint(back, [px + step, py]);
      const [uy, vy] = mapPoint(back, [px, py + step]);
      draw(drawing, near, ux, vx, blurMm, ground, across);
      draw(drawing, near, uy, vy, blurMm, ground, down);
      const at = 3 * (y * widthPx + x);
      let miss = 0;
      for (let c = 0; c < 3; c++) miss += (rgb[at + c] - here[c]) ** 2;
      const weight = 1 / (1 + miss / (SOFT * SOFT));
      squares += weight * miss;
      equations.weights += weight;
      const s = (u - left) / widthMm;
      const t = (v - top) / heightMm;
      for (let c = 0; c < 3; c++) {
        // The drawing moves with its corners, so under a pixel it changes by its slope, backwards.
        const slopeX = (here[c] - across[c]) / step;
        const slopeY = (here[c] - down[c]) / step;
        equations.add(s, t, slopeX, slopeY, rgb[at + c] - here[c], weight);
      }
    }
  }
  if (equations.weights < FEWEST_EDGE_PIXELS) return null;
  const strength = (EDGE_SLOPE * equations.weights) / known.length;
  for (const { mm, px } of known) {
    const seen = mapPoint(toPx, mm);
    const s = (mm[0] - left) / widthMm;
    const t = (mm[1] - top) / heightMm;
    equations.add(s, t, 1, 0, px[0] - seen[0], strength);
    equations.add(s, t, 0, 1, px[1] - seen[1], strength);
  }
  const by = equations.solved();
  return by === null ? null : { by, misfit: Math.sqrt(squares / (3 * equations.weights)) };
}

/** Normal equations for x and y of the four corners; a place between them moves by their bilinear mean. */
class CornerEquations {
  weights = 0;
  readonly #normal = new Float64Array(64);
  readonly #right = new Float64Array(8);
  readonly #row = new Float64Array(8);

  add(s: number, t: number, slopeX: number, slopeY: number, miss: number, weight: number): void {
    const row = this.#row;
    const shares = [(1 - s) * (1 - t), s * (1 - t), s * t, (1 - s) * t];
    for (let k = 0; k < 4; k++) {
      row[2 * k] = slopeX * shares[k];
      row[2 * k + 1] = slopeY * shares[k];
    }
    for (let k = 0; k < 8; k++) {
      const value = weight * row[k];
      this.#right[k] += value * miss;
      for (let l = k; l < 8; l++) this.#normal[8 * k + l] += value * row[l];
    }
  }

  solved(): number[] | null {
    const normal = this.#normal;
    for (let k = 0; k < 8; k++) {
      // A trace of stiffness: a side whose patches are all covered stays where it was.
      normal[9 * k] *= 1 + 1e-6;
      for (let l = 0; l < k; l++) normal[8 * k + l] = normal[8 * l + k];
    }
    const by = solve(normal, this.#right);
    return by === null ? null : [...by];
  }
}

/** Mean of what lies clear between the patches; NaN where patches leave nothing between them. */
function groundOf(
  raster: ColourRaster,
  drawing: Drawing,
  back: Homography,
  corners: readonly Point[],
  stride: number,
): readonly [number, number, number] {
  const { rgb, widthPx, heightPx } = raster;
  const found: [number[], number[], number[]] = [[], [], []];
  const [x0, y0, x1, y1] = bounds(corners, widthPx, heightPx);
  for (let y = y0; y < y1; y += stride) {
    for (let x = x0; x < x1; x += stride) {
      const [u, v] = mapPoint(back, [x + 0.5, y + 0.5]);
      const near = drawing.near(u, v);
      if (near.length === 0) continue;
      let clear = true;
      for (const k of near) {
        const [bx, by, bw, bh] = drawing.patches[k].boxMm;
        if (u > bx - 0.04 * bw && v > by - 0.04 * bh && u < bx + 1.04 * bw && v < by + 1.04 * bh) clear = false;
      }
      if (!clear) continue;
      const at = 3 * (y * widthPx + x);
      for (let c = 0; c < 3; c++) found[c].push(rgb[at + c]);
    }
  }
  const middle = (values: number[]): number =>
    values.length < 20 ? NaN : values.sort((a, b) => a - b)[values.length >> 1];
  return [middle(found[0]), middle(found[1]), middle(found[2])];
}

/** The drawing's colour at a place; false where it has none. */
function draw(
  drawing: Drawing,
  near: readonly number[],
  u: number,
  v: number,
  blurMm: number,
  ground: readonly number[],
  out: number[],
): boolean {
  let total = 0;
  out[0] = out[1] = out[2] = 0;
  for (const k of near) {
    const [x, y, w, h] = drawing.patches[k].boxMm;
    const share =
      rise((u - x) / blurMm) * rise((x + w - u) / blurMm) * rise((v - y) / blurMm) * rise((y + h - v) / blurMm);
    if (share < 1e-3) continue;
    total += share;
    for (let c = 0; c < 3; c++) out[c] += share * drawing.rgb[3 * k + c];
  }
  if (Number.isNaN(ground[0])) {
    // Patches that touch: at the rim, where there is no neighbour, nothing is known.
    if (total < 0.9) return false;
    for (let c = 0; c < 3; c++) out[c] /= total;
  } else {
    const rest = Math.max(0, 1 - total);
    for (let c = 0; c < 3; c++) out[c] += rest * ground[c];
  }
  return !Number.isNaN(out[0]);
}

/** A smooth step of about the width of a normal distribution's: 3t² − 2t³, quick. */
function rise(z: number): number {
  if (z >= 2) return 1;
  if (z <= -2) return 0;
  const t = (z + 2) / 4;
  return t * t * (3 - 2 * t);
}

function addAt({ rgb, widthPx, heightPx }: ColourRaster, [px, py]: Point, sum: number[]): boolean {
  const x = Math.floor(px);
  const y = Math.floor(py);
  if (x < 0 || y < 0 || x >= widthPx || y >= heightPx) return false;
  for (let c = 0; c < 3; c++) sum[c] += rgb[3 * (y * widthPx + x) + c];
  return true;
}

/** Median distance from a patch to the next one right of it, mm; touching patches have none. */
function gapOf(patches: readonly ExpectedPatch[], sideMm: number): number {
  const gaps = patches.flatMap(({ boxMm: [x, y, w, h] }) => {
    const rights = patches.filter(({ boxMm: b }) => b[0] > x + w / 2 && b[1] < y + h / 2 && b[1] + b[3] > y + h / 2);
    return rights.length === 0 ? [] : [Math.min(...rights.map(({ boxMm: b }) => b[0])) - x - w];
  });
  if (gaps.length === 0) return 0.25 * sideMm;
  return Math.max(0, gaps.sort((a, b) => a - b)[gaps.length >> 1]);
}

/** Corners of the box round all patches. */
function outlineOf(patches: readonly ExpectedPatch[]): Point[] {
  const left = Math.min(...patches.map((p) => p.boxMm[0]));
  const top = Math.min(...patches.map((p) => p.boxMm[1]));
  const right = Math.max(...patches.map((p) => p.boxMm[0] + p.boxMm[2]));
  const bottom = Math.max(...patches.map((p) => p.boxMm[1] + p.boxMm[3]));
  return [
    [left, top],
    [right, top],
    [right, bottom],
    [left, bottom],
  ];
}

function areaOf(corners: readonly Point[]): number {
  let twice = 0;
  corners.forEach(([x, y], k) => {
    const [nx, ny] = corners[(k + 1) % corners.length];
    twice += x * ny - nx * y;
  });
  return Math.abs(twice) / 2;
}

function bounds(
  corners: readonly Point[],
  widthPx: number,
  heightPx: number,
): readonly [number, number, number, number] {
  return [
    Math.max(0, Math.floor(Math.min(...corners.map((p) => p[0])) - 4)),
    Math.max(0, Math.floor(Math.min(...corners.map((p) => p[1])) - 4)),
    Math.min(widthPx, Math.ceil(Math.max(...corners.map((p) => p[0])) + 4)),
    Math.min(heightPx, Math.ceil(Math.max(...corners.map((p) => p[1])) + 4)),
  ];
}
