/** Finds a target by its rows and columns of patches: anywhere in a picture, at any turn, in several sizes, mirrored or not. */
import { type Homography, mapPoint, type Point } from '../../raster/homography.ts';
import { alignPatches } from './alignPatches.ts';
import { type Cell, evenCells } from './cells.ts';
import type { ColourRaster } from './colourRaster.ts';
import { type Lattice, lattices } from './lattice.ts';
import { type PatchFit, patchFit } from './patchFit.ts';
import { gridOfLayout, type Placement, placements } from './placeOnLattice.ts';
import {
  type ExpectedPatch,
  expectedPatches,
  extentMm,
  type KnownColours,
  type LocatedLayout,
} from './targetLayout.ts';

export interface GridFound {
  /** Layout mm → px of the picture. */
  readonly toPx: Homography;
  readonly mirrored: boolean;
  readonly fit: PatchFit;
  /** Size against the layout's millimetres. */
  readonly scale: number;
  /** Middle, and the corners of the box round all patches, px. */
  readonly middlePx: Point;
  readonly outlinePx: readonly Point[];
}

/** Lattices that are looked at, largest first: more than a few are squared paper and lettering. */
const MOST_LATTICES = 16;
/** Cells of one colour are paper; spread of lightness or colour, coded values. */
const LEAST_SPREAD = 0.04;
const LEAST_QUALITY = 0.12;
const WORTH_ALIGNING = 0.3;

/** @returns best first, none on another's ground */
export function searchGrid(
  raster: ColourRaster,
  layout: LocatedLayout,
  known: KnownColours,
  scaleLimits: readonly [least: number, most: number],
): GridFound[] {
  const patches = expectedPatches(layout, known);
  const grid = gridOfLayout(patches);
  if (grid === null) return [];
  const [stepX, stepY] = grid.stepMm;
  const aspects = patches.map(({ boxMm: [, , w, h] }) => Math.max(w / h, h / w)).toSorted((a, b) => a - b);
  const cells = evenCells(raster, aspects[aspects.length >> 1]);
  const seen = lattices(cells, Math.max(stepX / stepY, stepY / stepX))
    .filter((lattice) => isColourful(raster, lattice))
    .slice(0, MOST_LATTICES);
  const found = seen.flatMap((lattice) => {
    const candidates = placements(raster, lattice, grid, patches, scaleLimits);
    return [false, true].flatMap((mirrored) => {
      const best = bestOf(
        raster,
        patches,
        candidates.filter((p) => p.mirrored === mirrored),
      );
      return best === null ? [] : [refined(raster, layout, patches, best, cells)];
    });
  });
  return apart(found);
}

function bestOf(
  raster: ColourRaster,
  patches: readonly ExpectedPatch[],
  candidates: readonly Placement[],
): Placement | null {
  let best: Placement | null = null;
  let most = LEAST_QUALITY;
  for (const placement of candidates) {
    const { quality } = patchFit(raster, patches, placement.toPx);
    if (quality > most) {
      most = quality;
      best = placement;
    }
  }
  return best;
}

function refined(
  raster: ColourRaster,
  layout: LocatedLayout,
  patches: readonly ExpectedPatch[],
  { toPx, mirrored, scale }: Placement,
  cells: readonly Cell[],
): GridFound {
  const before = patchFit(raster, patches, toPx);
  const aligned = before.quality < WORTH_ALIGNING ? null : alignPatches(cells, patches, toPx, before.agrees);
  const after = aligned === null ? null : patchFit(raster, patches, aligned);
  const [map, fit] =
    aligned !== null && after !== null && after.quality >= before.quality - 0.03 ? [aligned, after] : [toPx, before];
  const [left, top, right, bottom] = extentMm(layout);
  const outline: Point[] = [
    [left, top],
    [right, top],
    [right, bottom],
    [left, bottom],
  ];
  return {
    toPx: map,
    mirrored,
    fit,
    scale,
    middlePx: mapPoint(map, [(left + right) / 2, (top + bottom) / 2]),
    outlinePx: outline.map((p) => mapPoint(map, p)),
  };
}

export function resized(toPx: Homography, by: number): Homography {
  return toPx.map((v, k) => (k < 6 ? v * by : v));
}

function isColourful(raster: ColourRaster, { members }: Lattice): boolean {
  const seen = members.map(({ cell }) => colourAt(raster, cell));
  return [0, 1, 2].some((c) => {
    const mean = seen.reduce((sum, v) => sum + v[c], 0) / seen.length;
    return Math.sqrt(seen.reduce((sum, v) => sum + (v[c] - mean) ** 2, 0) / seen.length) > LEAST_SPREAD;
  });
}

function colourAt({ rgb, widthPx }: ColourRaster, { x, y }: Cell): readonly [number, number, number] {
  const at = 3 * (Math.floor(y) * widthPx + Math.floor(x));
  return [rgb[at], rgb[at + 1], rgb[at + 2]];
}

/** Of what lies on one ground the best stands. */
function apart(found: readonly GridFound[]): GridFound[] {
  const kept: GridFound[] = [];
  for (const one of found.toSorted((a, b) => b.fit.quality - a.fit.quality)) {
    const clash = kept.some((other) => overlaps(one, other) && one.mirrored === other.mirrored);
    if (!clash) kept.push(one);
  }
  return kept;
}

/** One's middle lies within half of the other's half diagonal. */
export function overlaps(
  a: Pick<GridFound, 'middlePx' | 'outlinePx'>,
  b: Pick<GridFound, 'middlePx' | 'outlinePx'>,
): boolean {
  const reach = Math.min(...[a, b].map(({ outlinePx: [p, , q] }) => Math.hypot(q[0] - p[0], q[1] - p[1]))) / 2;
  return Math.hypot(a.middlePx[0] - b.middlePx[0], a.middlePx[1] - b.middlePx[1]) < reach;
}
