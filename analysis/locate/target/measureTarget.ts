/** The four points of a target that was seen, on the scan itself: discs in windows of their own, the rest by the patches' middles. */
import { homography, type Homography, mapPoint, type Point } from '../../raster/homography.ts';
import type { GreyRaster } from '../greyRaster.ts';
import { alignPatches, type KnownPlace } from './alignPatches.ts';
import { evenCells } from './cells.ts';
import type { ColourRaster } from './colourRaster.ts';
import { discCentre } from './discCentre.ts';
import { affineThrough } from './lattice.ts';
import { patchFit } from './patchFit.ts';
import { type Refusal, refusedUnsure, SURE } from './refusal.ts';
import { resized } from './searchGrid.ts';
import type { SeenTarget } from './searchTarget.ts';
import { type ExpectedPatch, expectedPatches, type KnownColours, type LocatedLayout } from './targetLayout.ts';

export interface TargetFound {
  /** In the layout's order, px of the scan (pixel centres at integer + 0.5). */
  readonly pointsPx: readonly [Point, Point, Point, Point];
  readonly by: SeenTarget['by'];
  readonly score: number;
  /** How it was found, to be read after "found". */
  readonly words: string;
}

type SeenDisc = NonNullable<SeenTarget['discs'][number]>;

/** Half the side of the window about a disc, in its radii: its middle is at most half of one away, its rim is read a third beyond. */
const WINDOW_RADII = 2.2;
/** Four discs of a flat scan make a parallelogram but for so much, mm; else one of them is half covered or the card is bent. */
const CLOSES_MM = 0.5;
/** A disc that lies so far from where patches and the others put it is not whole. */
const OFF_MM = 0.35;
/** Patches of cards with discs are at most about so many times longer than broad. */
const PATCH_ASPECT = 1.5;
const ORDINALS = ['first', 'second', 'third', 'fourth'];

/** What of the scan the middle of a disc is measured in: left, top, width, height, px. */
export function discWindow({ xPx, yPx, radiusPx }: SeenDisc): readonly [number, number, number, number] {
  const reach = WINDOW_RADII * radiusPx + 4;
  return [xPx - reach, yPx - reach, 2 * reach, 2 * reach];
}

/**
 * @param windows One for each disc of `seen`, as `discWindow` says or larger; null for a disc that was not seen
 * @param small What `seen` was found in, `factor` times smaller than the scan
 */
export function measureTarget(
  seen: SeenTarget,
  windows: readonly (GreyRaster | null)[],
  small: ColourRaster,
  factor: number,
  layout: LocatedLayout,
  known: KnownColours,
): TargetFound | Refusal {
  const { by, score, pointsPx } = seen;
  if (by === 'grid') return { pointsPx, by, score, words: gridWords(seen, layout) };
  const patches = expectedPatches(layout, known);
  const centres = seen.discs.map((disc, k): Point | null => {
    const window = windows[k];
    const found = disc === null || window === null ? null : discCentre(window, disc.xPx, disc.yPx, disc.radiusPx);
    return found === null ? null : [found.x, found.y];
  });
  const fit = new Fit(small, factor, layout, patches);
  const whole = centres.every((centre) => centre !== null);
  if (whole && fit.closes(centres)) return { pointsPx: quad(centres), by, score, words: 'by its four discs' };
  const hidden = whole ? fit.mostDoubtful(centres) : centres.indexOf(null);
  // Nothing stands out: a bent card or a lens, and all four are as good as they can be.
  if (hidden === null)
    return { pointsPx: quad(centres), by, score, words: 'by its four discs, which lie a little askew' };
  const left = centres.map((centre, k) => (k === hidden ? null : centre));
  if (left.filter((centre) => centre !== null).length < 3) return fewDiscs(seen, small, factor, layout, patches);
  const toPx = fit.through(left);
  const { quality } = patchFit(small, patches, resized(toPx, 1 / factor));
  const sure = Math.min(score, 0.95 * Math.min(1, Math.max(0, (quality - 0.3) / 0.4)));
  const [x, y] = mapPoint(toPx, layout.pointsMm[hidden]);
  if (sure < SURE)
    return refusedUnsure(layout, [(x * 25.4) / small.dpi / factor, (y * 25.4) / small.dpi / factor], { score: sure });
  const points = left.map((centre, k) => centre ?? mapPoint(toPx, layout.pointsMm[k]));
  return {
    pointsPx: quad(points),
    by,
    score: sure,
    words: `by three of its four discs and its patches; the ${ORDINALS[hidden]} disc is covered or not clean`,
  };
}

/** Discs and patches of one scan together. */
class Fit {
  readonly #small: ColourRaster;
  readonly #factor: number;
  readonly #layout: LocatedLayout;
  readonly #patches: readonly ExpectedPatch[];

  constructor(small: ColourRaster, factor: number, layout: LocatedLayout, patches: readonly ExpectedPatch[]) {
    this.#small = small;
    this.#factor = factor;
    this.#layout = layout;
    this.#patches = patches;
  }

  /** Whether four middles lie as four corners of one flat card. */
  closes(centres: readonly (Point | null)[]): boolean {
    const corners = quad(centres);
    const [a, b, c, d] = corners;
    const mm = this.#layout.pointsMm;
    // On a layout whose points make no parallelogram the map says what is to be expected.
    const expected = affineThrough(mm, corners);
    const gap = Math.max(...mm.map((p, k) => distance(mapPoint(expected, p), [a, b, c, d][k])));
    // One disc that is off by d leaves d/4 at each.
    return 4 * gap < CLOSES_MM * this.#pxPerMm();
  }

  /** The disc that lies off where the patches put it while the others do not; null: none, or several. */
  mostDoubtful(centres: readonly (Point | null)[]): number | null {
    const aligned = this.#aligned(centres, []);
    if (aligned === null) return null;
    const toPx = resized(aligned, this.#factor);
    const off = centres.flatMap((centre, k) =>
      centre !== null && distance(mapPoint(toPx, this.#layout.pointsMm[k]), centre) > OFF_MM * this.#pxPerMm()
        ? [k]
        : [],
    );
    return off.length === 1 ? off[0] : null;
  }

  /** Layout mm → px of the scan, through the middles that are given and those of the patches. */
  through(centres: readonly (Point | null)[]): Homography {
    const aligned = this.#aligned(
      centres,
      centres.flatMap((centre, k): KnownPlace[] =>
        centre === null
          ? []
          : [{ mm: this.#layout.pointsMm[k], px: [centre[0] / this.#factor, centre[1] / this.#factor] }],
      ),
    );
    return aligned === null ? this.#start(centres) : resized(aligned, this.#factor);
  }

  #aligned(centres: readonly (Point | null)[], known: readonly KnownPlace[]): Homography | null {
    const start = resized(this.#start(centres), 1 / this.#factor);
    return aligned(this.#small, this.#patches, start, known);
  }

  #start(centres: readonly (Point | null)[]): Homography {
    const seen = centres.flatMap((centre, k) =>
      centre === null ? [] : [{ mm: this.#layout.pointsMm[k], px: centre }],
    );
    const from = seen.map(({ mm }) => mm);
    const to = seen.map(({ px }) => px);
    return seen.length === 4 ? homography(from, to) : affineThrough(from, to);
  }

  #pxPerMm(): number {
    return (this.#small.dpi * this.#factor) / 25.4;
  }
}

/** Known colours that fit nothing at all say nothing of what is covered. */
function aligned(
  small: ColourRaster,
  patches: readonly ExpectedPatch[],
  start: Homography,
  known: readonly KnownPlace[],
): Homography | null {
  const { agrees, asKnown } = patchFit(small, patches, start);
  const cells = evenCells(small, PATCH_ASPECT);
  return alignPatches(cells, patches, start, asKnown > 0.4 ? agrees : patches.map(() => true), known);
}

/** Two discs with clean rims and patches that agree: the patches alone tell. */
function fewDiscs(
  seen: SeenTarget,
  small: ColourRaster,
  factor: number,
  layout: LocatedLayout,
  patches: readonly ExpectedPatch[],
): TargetFound | Refusal {
  const start = homography(layout.pointsMm, seen.pointsPx);
  const near = aligned(small, patches, resized(start, 1 / factor), []);
  const quality = near === null ? 0 : patchFit(small, patches, near).quality;
  const score = Math.min(seen.score, Math.max(0, (quality - 0.3) / 0.4));
  const [x, y] = seen.pointsPx[0];
  if (near === null || score < SURE) {
    return refusedUnsure(layout, [(x * 25.4) / small.dpi / factor, (y * 25.4) / small.dpi / factor], { score });
  }
  const toPx = resized(near, factor);
  return {
    pointsPx: quad(layout.pointsMm.map((p) => mapPoint(toPx, p))),
    by: 'grid',
    score,
    words: 'by its patches; fewer than three of its discs have clean rims',
  };
}

function gridWords({ asKnown }: SeenTarget, layout: LocatedLayout): string {
  const count = layout.patches.length;
  const agree = Math.round(asKnown * count);
  const discs = layout.fiducial === undefined ? '' : ', since its discs were not to be seen';
  return agree === count
    ? `by its ${count} patches${discs}`
    : `by its patches${discs}; ${agree} of ${count} look as their known colours let expect`;
}

function quad(points: readonly (Point | null)[]): readonly [Point, Point, Point, Point] {
  const [a, b, c, d] = points;
  return [a!, b!, c!, d!];
}

function distance(a: Point, b: Point): number {
  return Math.hypot(b[0] - a[0], b[1] - a[1]);
}
