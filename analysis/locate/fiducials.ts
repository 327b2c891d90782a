/** Finds a target's four dark discs by themselves: anywhere in a scan, at any turn, beside anything. */
import { type Point } from '../raster/homography.ts';
import { discCandidates, type DiscCandidate } from './discCandidates.ts';
import { discCentre } from './discCentre.ts';
import { shrink, type GreyRaster } from './greyRaster.ts';

/** What of a target's layout the search needs (a TargetLayout is one). */
export interface FiducialLayout {
  readonly name: string;
  readonly pointsMm: readonly [Point, Point, Point, Point];
  readonly fiducial?: { readonly shape: 'disc'; readonly radiusMm: number; readonly eyeMm: number };
}

export type FiducialResult =
  { readonly pointsPx: readonly [Point, Point, Point, Point]; readonly score: number } | { readonly problem: string };

/** Discs are sought at about this many pixels of radius; their middles are then measured on the scan itself. */
const SEARCH_RADIUS_PX = 9;
/** Printers and scanners stretch; a dpi that is wrong stretches more. */
const SCALE_TOLERANCE = 0.06;
/** A disc may lie this far from where the other two put it. */
const PLACE_TOLERANCE = 0.03;
/** Half the side of the window about a disc, in its radii: its middle is at most half of one away, its rim is read a third beyond. */
const WINDOW_RADII = 2.2;
/** Lightness of the middle, between disc and surround, from which it counts as an eye. */
const EYE = 0.5;

/** Discs about where the search saw them, for their middles to be measured on the scan itself. */
export interface SeenFiducials {
  /** In the layout's order: where each lies and how large it is, px of the scan. */
  readonly discs: readonly { readonly xPx: number; readonly yPx: number; readonly radiusPx: number }[];
  readonly score: number;
}

/** @returns the four middles in the layout's order, px (pixel centres at integer + 0.5); score 0..1, above 0.5 sure */
export function findFiducials(scan: GreyRaster, layout: FiducialLayout): FiducialResult {
  const factor = searchFactor(layout, scan.dpi);
  const seen = searchFiducials(shrink(scan, factor), factor, layout);
  if ('problem' in seen) return seen;
  return measureFiducials(
    seen,
    seen.discs.map(() => scan),
    layout,
  );
}

/** How many times smaller than the scan the picture is that the discs are sought in. */
export function searchFactor({ fiducial }: FiducialLayout, dpi: number): number {
  return Math.max(1, Math.floor(((fiducial?.radiusMm ?? 0) * dpi) / 25.4 / SEARCH_RADIUS_PX));
}

/** @param small The scan, `factor` times smaller. */
export function searchFiducials(
  small: GreyRaster,
  factor: number,
  layout: FiducialLayout,
): SeenFiducials | { readonly problem: string } {
  const disc = layout.fiducial;
  if (disc === undefined)
    return { problem: `The layout "${layout.name}" has no fiducials; give its four points by hand.` };
  const smallPxPerMm = small.dpi / 25.4;
  const discs = discCandidates(small, disc.radiusMm * smallPxPerMm, disc.eyeMm * smallPxPerMm);
  const matches = distinct(matchesOf(discs, layout.pointsMm, smallPxPerMm));
  const right = matches.filter((match) => !match.mirrored);
  if (right.length === 0) return { problem: whyNot(discs, matches, layout, small.dpi * factor) };
  if (right.length > 1) {
    return {
      problem:
        `${right.length} targets like "${layout.name}" lie in this scan, with their first discs at ` +
        `${right.map((match) => placeMm(match.discs[0], small)).join(' and ')}; ` +
        `give the four points of the one that counts.`,
    };
  }
  const [match] = right;
  const radiusPx = disc.radiusMm * ((small.dpi * factor) / 25.4) * match.scale;
  return {
    discs: match.discs.map((found) => ({ xPx: found.x * factor, yPx: found.y * factor, radiusPx })),
    score: scoreOf(match),
  };
}

/** What of the scan the middle of a disc is measured in: left, top, width, height, px. */
export function fiducialWindow({
  xPx,
  yPx,
  radiusPx,
}: SeenFiducials['discs'][number]): readonly [number, number, number, number] {
  const reach = WINDOW_RADII * radiusPx + 4;
  return [xPx - reach, yPx - reach, 2 * reach, 2 * reach];
}

/** @param windows One for each disc, as `fiducialWindow` says or larger. */
export function measureFiducials(
  seen: SeenFiducials,
  windows: readonly GreyRaster[],
  layout: FiducialLayout,
): FiducialResult {
  const centres = seen.discs.map(({ xPx, yPx, radiusPx }, k) => {
    return discCentre(windows[k], xPx, yPx, radiusPx);
  });
  const lost = centres.findIndex((centre) => centre === null);
  if (lost >= 0) {
    return {
      problem:
        `The disc at ${placeOf(seen.discs[lost], windows[lost].dpi)} of the target "${layout.name}" has no clean rim; ` +
        `free it of dirt and writing, or give the four points by hand.`,
    };
  }
  const [a, b, c, d] = centres.map((centre): Point => [centre!.x, centre!.y]);
  return { pointsPx: [a, b, c, d], score: seen.score };
}

interface Match {
  readonly discs: readonly DiscCandidate[];
  readonly mirrored: boolean;
  readonly scale: number;
  /** Largest distance of a disc from its place, as a share of the target's diagonal. */
  readonly misfit: number;
}

/** First disc (with the eye) and second fix scale and turn; the other two must then lie where the layout puts them. */
function matchesOf(discs: readonly DiscCandidate[], points: readonly Point[], pxPerMm: number): Match[] {
  const size = distance(points[0], points[2]) * pxPerMm;
  const matches: Match[] = [];
  const plain = discs.filter((disc) => disc.eye < EYE);
  for (const first of discs) {
    if (first.eye < EYE) continue;
    for (const second of plain) {
      const scale = Math.hypot(second.x - first.x, second.y - first.y) / (distance(points[0], points[1]) * pxPerMm);
      if (Math.abs(scale - 1) > SCALE_TOLERANCE) continue;
      for (const mirrored of [false, true]) {
        const others = [2, 3].map((k) => {
          const place = placed(points, k, first, second, mirrored);
          return nearest(plain, place, PLACE_TOLERANCE * size);
        });
        if (others.includes(null) || others[0] === others[1] || others.includes(second)) continue;
        const found = [first, second, others[0]!, others[1]!];
        const misfit = Math.max(
          ...[2, 3].map((k) => {
            const place = placed(points, k, first, second, mirrored);
            return Math.hypot(found[k].x - place[0], found[k].y - place[1]) / size;
          }),
        );
        matches.push({ discs: found, mirrored, scale, misfit });
      }
    }
  }
  return matches.sort((a, b) => a.misfit - b.misfit);
}

/** Where point k of the layout lies when the first two lie at two discs; mirrored about the line through them if asked. */
function placed(
  points: readonly Point[],
  k: number,
  first: DiscCandidate,
  second: DiscCandidate,
  mirrored: boolean,
): Point {
  const ux = points[1][0] - points[0][0];
  const uy = points[1][1] - points[0][1];
  const px = points[k][0] - points[0][0];
  const py = points[k][1] - points[0][1];
  const square = ux * ux + uy * uy;
  const along = (px * ux + py * uy) / square;
  const beside = ((ux * py - uy * px) / square) * (mirrored ? -1 : 1);
  const vx = second.x - first.x;
  const vy = second.y - first.y;
  return [first.x + along * vx - beside * vy, first.y + along * vy + beside * vx];
}

/** Of matches that share a disc only the best stands; `matches` comes best first. */
function distinct(matches: readonly Match[]): Match[] {
  const kept: Match[] = [];
  for (const match of matches) {
    if (!kept.some((other) => other.discs.some((disc) => match.discs.includes(disc)))) kept.push(match);
  }
  return kept;
}

function nearest(discs: readonly DiscCandidate[], place: Point, within: number): DiscCandidate | null {
  let best: DiscCandidate | null = null;
  let least = within;
  for (const disc of discs) {
    const away = Math.hypot(disc.x - place[0], disc.y - place[1]);
    if (away < least) {
      least = away;
      best = disc;
    }
  }
  return best;
}

function whyNot(
  discs: readonly DiscCandidate[],
  matches: readonly Match[],
  layout: FiducialLayout,
  dpi: number,
): string {
  const remedy = 'Scan the whole target face down with its discs free, or give its four points by hand.';
  if (matches.some((match) => match.mirrored)) {
    return `The target "${layout.name}" is mirrored in this scan. Scan its printed side, without mirroring.`;
  }
  const eyes = discs.filter((disc) => disc.eye >= EYE).length;
  const radius = layout.fiducial!.radiusMm;
  if (discs.length === 0) {
    return (
      `No disc of ${radius} mm radius was found in this scan; the target "${layout.name}" has four. ` +
      `${remedy} If it is there, check that the scan's ${dpi} dpi is right.`
    );
  }
  const what = `${discs.length} ${discs.length === 1 ? 'disc' : 'discs'} of ${radius} mm radius (${eyes} with a light eye)`;
  if (discs.length < 4)
    return `Only ${what} found; the target "${layout.name}" has four, the first with an eye. ${remedy}`;
  if (eyes === 0) return `${what} found, but the first disc of the target "${layout.name}" has an eye. ${remedy}`;
  return `${what} found, but no four of them lie as on the target "${layout.name}". ${remedy}`;
}

/** How sure: clear steps from dark to light, and discs where the layout puts them. */
function scoreOf(match: Match): number {
  const contrast = Math.min(1, Math.min(...match.discs.map((disc) => disc.contrast)) / 0.3);
  const place = Math.exp(-((match.misfit / (0.4 * PLACE_TOLERANCE)) ** 2) / 2);
  const stretch = Math.exp(-(((match.scale - 1) / SCALE_TOLERANCE) ** 2) / 2);
  return contrast * place * stretch;
}

function distance(a: Point, b: Point): number {
  return Math.hypot(b[0] - a[0], b[1] - a[1]);
}

function placeMm(disc: DiscCandidate, scan: GreyRaster): string {
  return placeOf({ xPx: disc.x, yPx: disc.y }, scan.dpi);
}

function placeOf({ xPx, yPx }: { readonly xPx: number; readonly yPx: number }, dpi: number): string {
  const mm = (px: number): string => ((px * 25.4) / dpi).toFixed(0);
  return `${mm(xPx)}, ${mm(yPx)} mm`;
}
