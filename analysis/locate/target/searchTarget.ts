/**
 * Finds a target in a small picture of the whole scan: by its discs, confirmed by its patches; else by its patches alone.
 * What is found is measured on the scan itself by measureTarget.ts.
 */
import { mapPoint, type Point } from '../../raster/homography.ts';
import { type ColourRaster, greyOfColours } from './colourRaster.ts';
import { type DiscCandidate, discCandidates } from './discCandidates.ts';
import { type DiscMatch, EYE, matchDiscs, PLACE_TOLERANCE, SCALE_TOLERANCE } from './matchDiscs.ts';
import { patchFit } from './patchFit.ts';
import { type GridFound, overlaps, resized, searchGrid } from './searchGrid.ts';
import {
  type ExpectedPatch,
  expectedPatches,
  extentMm,
  type KnownColours,
  type LocatedLayout,
} from './targetLayout.ts';
import { refusedMirrored, refusedNotFound, refusedTwo, refusedUnsure, type Refusal, SURE } from './refusal.ts';

/** Seen in the small picture; lengths in px of the scan. */
export interface SeenTarget {
  readonly by: 'fiducials' | 'grid';
  /** 0..1; above 0.5 sure. */
  readonly score: number;
  /** The layout's four points; those of discs that were seen are to be measured. */
  readonly pointsPx: readonly [Point, Point, Point, Point];
  /** In the layout's order: the discs that were seen; empty for a grid. */
  readonly discs: readonly ({ readonly xPx: number; readonly yPx: number; readonly radiusPx: number } | null)[];
  /** Share of the patches that are even and as known. */
  readonly asKnown: number;
}

/** Discs are sought at about this many pixels of radius, patches of the smallest make at about as many a side. */
const SEARCH_RADIUS_PX = 9;
const SEARCH_PATCH_PX = 8;
const LEAST_DPI = 90;
const MOST_DPI = 160;
/** Grids come in several sizes; cards with discs are printed to size. */
const GRID_SCALES = [0.2, 1.6] as const;
const FEWEST_GRID_PATCHES = 12;

/** How many times smaller than the scan the picture is that the target is sought in. */
export function searchFactor(layout: LocatedLayout, dpi: number): number {
  const wanted = layout.fiducial === undefined ? gridDpi(layout) : (25.4 * SEARCH_RADIUS_PX) / layout.fiducial.radiusMm;
  const factor = dpi / (layout.fiducial === undefined ? wanted : Math.max(wanted, 40));
  return Math.max(1, layout.fiducial === undefined ? Math.round(factor) : Math.floor(factor));
}

function gridDpi(layout: LocatedLayout): number {
  const sides = layout.patches.map(({ boxMm }) => Math.min(boxMm[2], boxMm[3])).toSorted((a, b) => a - b);
  const smallest = GRID_SCALES[0] * sides[sides.length >> 1];
  return Math.min(MOST_DPI, Math.max(LEAST_DPI, (25.4 * SEARCH_PATCH_PX) / smallest));
}

/** @param small The scan, `factor` times smaller. */
export function searchTarget(
  small: ColourRaster,
  factor: number,
  layout: LocatedLayout,
  known: KnownColours,
): SeenTarget | Refusal {
  if (layout.fiducial === undefined) {
    // A little more on either side: sizes are nominal, and so is a dpi.
    const found = searchGrid(small, layout, known, [0.95 * GRID_SCALES[0], 1.05 * GRID_SCALES[1]]);
    return (
      decided(
        found.map((one) => ofGrid(one)),
        small,
        factor,
        layout,
      ) ?? refusedNotFound(layout, null)
    );
  }
  const discs = discCandidates(greyOfColours(small), ...discSizePx(layout.fiducial, small.dpi));
  const byDiscs = judgedMatches(small, layout, expectedPatches(layout, known), discs);
  const answer = decided(byDiscs, small, factor, layout);
  if (answer !== null && !('problem' in answer && answer.code === 'target-unsure')) return answer;
  if (layout.patches.length >= FEWEST_GRID_PATCHES) {
    const byGrid = searchGrid(small, layout, known, [1 - SCALE_TOLERANCE, 1 + SCALE_TOLERANCE]).map((one) =>
      ofGrid(one),
    );
    const other = decided(byGrid, small, factor, layout);
    if (other !== null && !('problem' in other && other.code === 'target-unsure')) return other;
  }
  const eyes = discs.filter((disc) => disc.eye >= EYE).length;
  return answer ?? refusedNotFound(layout, { discs: discs.length, eyes, dpi: Math.round(small.dpi * factor) });
}

/** Sizes in which a target may lie in a scan whose dpi is wrong: 75 for 400, 1200 for 200. */
const WRONG_SIZES = [0.16, 6] as const;

/**
 * How large the target's grid of patches lies in a scan in which it was not found in its own size: what a wrong dpi comes to.
 * @returns its size against the layout's millimetres, and how sure that is, 0..1; null: no such grid at all
 */
export function sizeOfGrid(
  small: ColourRaster,
  layout: LocatedLayout,
  known: KnownColours,
): { readonly size: number; readonly score: number } | null {
  if (layout.patches.length < FEWEST_GRID_PATCHES) return null;
  const [best] = searchGrid(small, layout, known, WRONG_SIZES);
  return best === undefined ? null : { size: best.scale, score: ofGrid(best).score };
}

function discSizePx(
  { radiusMm, eyeMm }: NonNullable<LocatedLayout['fiducial']>,
  dpi: number,
): readonly [radius: number, eye: number] {
  return [(radiusMm * dpi) / 25.4, (eyeMm * dpi) / 25.4];
}

/** Where a target may lie, px of the small picture. */
interface Guess extends Pick<GridFound, 'toPx' | 'mirrored' | 'middlePx' | 'outlinePx' | 'scale'> {
  readonly by: SeenTarget['by'];
  readonly score: number;
  readonly discs: readonly (DiscCandidate | null)[];
  readonly asKnown: number;
}

function ofGrid(found: GridFound): Guess {
  return { ...found, by: 'grid', score: ramp(found.fit.quality, 0.3, 0.7), discs: [], asKnown: found.fit.asKnown };
}

/** Discs by their place, contrast and eye; patches as far as discs leave a doubt. */
function judgedMatches(
  small: ColourRaster,
  layout: LocatedLayout,
  patches: readonly ExpectedPatch[],
  discs: readonly DiscCandidate[],
): Guess[] {
  const [left, top, right, bottom] = extentMm(layout);
  const outline: Point[] = [
    [left, top],
    [right, top],
    [right, bottom],
    [left, bottom],
  ];
  const guesses = matchDiscs(discs, layout.pointsMm, small.dpi / 25.4).map((match): Guess => {
    const fit = patchFit(small, patches, match.toPx);
    return {
      toPx: match.toPx,
      mirrored: match.mirrored,
      middlePx: mapPoint(match.toPx, [(left + right) / 2, (top + bottom) / 2]),
      outlinePx: outline.map((p) => mapPoint(match.toPx, p)),
      scale: match.scale,
      by: 'fiducials',
      score: scoreOf(match, fit.quality, patches),
      discs: match.discs,
      asKnown: fit.asKnown,
    };
  });
  guesses.sort((a, b) => b.score - a.score);
  const kept: Guess[] = [];
  for (const guess of guesses) if (!kept.some((other) => sharesDisc(guess, other))) kept.push(guess);
  return kept;
}

/** Four discs with the eye in its place stand by themselves; with a disc hidden or no eye to be seen the patches must agree. */
function scoreOf(match: DiscMatch, quality: number, patches: readonly ExpectedPatch[]): number {
  const seen = match.discs.filter((disc) => disc !== null);
  const contrast = Math.min(1, Math.min(...seen.map((disc) => disc.contrast)) / 0.3);
  const place = Math.exp(-((match.misfit / (0.4 * PLACE_TOLERANCE)) ** 2) / 2);
  const stretch = Math.exp(-(((match.scale - 1) / SCALE_TOLERANCE) ** 2) / 2);
  const geometry = Math.sqrt(contrast * place) * stretch;
  const agreed = ramp(quality, 0.3, 0.7);
  const tellable = patches.filter((patch) => patch.rgb !== null).length >= 6;
  if (seen.length === 4 && match.eye === 'right') return geometry * (tellable ? 0.65 + 0.35 * agreed : 1);
  // Patches that agree this well leave no doubt, whatever became of a disc.
  return agreed * (0.5 + 0.5 * geometry) * (match.eye === 'wrong' ? 0.8 : 0.95);
}

/** The one target, or why not. Null: nothing that is worth a word. */
function decided(
  guesses: readonly Guess[],
  small: ColourRaster,
  factor: number,
  layout: LocatedLayout,
): SeenTarget | Refusal | null {
  const toMm = 25.4 / small.dpi;
  const placeMm = ({ middlePx: [x, y] }: Guess): Point => [x * toMm, y * toMm];
  const best = guesses.reduce<Guess | null>((a, b) => (a === null || b.score > a.score ? b : a), null);
  if (best === null || best.score < 0.2) return null;
  const right = guesses.filter((guess) => !guess.mirrored && guess.score >= SURE);
  if (best.mirrored && best.score >= SURE) return refusedMirrored(layout, placeMm(best));
  const two = right.filter((guess) => guess === best || !overlaps(guess, best));
  if (two.length > 1) return refusedTwo(layout, two.map(placeMm));
  if (best.score < SURE) return refusedUnsure(layout, placeMm(best), best);
  const toPx = resized(best.toPx, factor);
  const [a, b, c, d] = layout.pointsMm.map((p) => mapPoint(toPx, p));
  const radiusPx = ((layout.fiducial?.radiusMm ?? 0) * small.dpi * factor * best.scale) / 25.4;
  return {
    by: best.by,
    score: best.score,
    pointsPx: [a, b, c, d],
    discs: best.discs.map((disc) => (disc === null ? null : { xPx: disc.x * factor, yPx: disc.y * factor, radiusPx })),
    asKnown: best.asKnown,
  };
}

function sharesDisc(a: Guess, b: Guess): boolean {
  return a.discs.some((disc) => disc !== null && b.discs.includes(disc));
}

function ramp(value: number, from: number, to: number): number {
  return Math.min(1, Math.max(0, (value - from) / (to - from)));
}
