/** Dark discs put together to a target's four: all of them, or three with the fourth covered; mirrored or not. */
import { homography, type Homography, type Point } from '../../raster/homography.ts';
import type { DiscCandidate } from './discCandidates.ts';
import { affineThrough } from './lattice.ts';

export interface DiscMatch {
  /** In the layout's order; at most one is null: not seen. */
  readonly discs: readonly (DiscCandidate | null)[];
  readonly mirrored: boolean;
  /** Size against the layout's millimetres. */
  readonly scale: number;
  /** Largest distance of a disc from where the first two put it, as a share of the target's diagonal. */
  readonly misfit: number;
  /** 'right': the first disc has the light eye, the others none. 'hidden': the first is not seen, the others have none. 'wrong': else. */
  readonly eye: 'right' | 'hidden' | 'wrong';
  /** Layout mm → px. */
  readonly toPx: Homography;
}

/** Printers and scanners stretch; a dpi that is wrong stretches more. */
export const SCALE_TOLERANCE = 0.06;
/** A disc may lie this far from where two others put it, as a share of the diagonal. */
export const PLACE_TOLERANCE = 0.03;
/** Lightness of the middle, between disc and surround, from which it counts as an eye. */
export const EYE = 0.5;
/** More discs than this are dots of a pattern; the clearest are looked at. */
const MOST_DISCS = 80;
const MOST_MATCHES = 40;

/** @param points The layout's four, mm. @returns the most likely first: more discs, the eye in its place, the better fit */
export function matchDiscs(all: readonly DiscCandidate[], points: readonly Point[], pxPerMm: number): DiscMatch[] {
  const discs = all.toSorted((a, b) => b.contrast - a.contrast).slice(0, MOST_DISCS);
  const matches: DiscMatch[] = [];
  // With one disc covered, the first two are seen or the last two are.
  for (const [k, l] of [
    [0, 1],
    [2, 3],
  ] as const) {
    for (const first of discs) {
      for (const second of discs) {
        if (first === second) continue;
        const scale = apart(first, second) / (distance(points[k], points[l]) * pxPerMm);
        if (Math.abs(scale - 1) > SCALE_TOLERANCE) continue;
        for (const mirrored of [false, true]) {
          const match = completed(discs, points, [k, l], [first, second], mirrored, scale, pxPerMm);
          if (match !== null) matches.push(match);
        }
      }
    }
  }
  return distinct(matches.sort((a, b) => rank(b) - rank(a))).slice(0, MOST_MATCHES);
}

function completed(
  discs: readonly DiscCandidate[],
  points: readonly Point[],
  [k, l]: readonly [number, number],
  [first, second]: readonly [DiscCandidate, DiscCandidate],
  mirrored: boolean,
  scale: number,
  pxPerMm: number,
): DiscMatch | null {
  const size = distance(points[0], points[2]) * pxPerMm;
  const found: (DiscCandidate | null)[] = [null, null, null, null];
  found[k] = first;
  found[l] = second;
  let misfit = 0;
  for (let m = 0; m < 4; m++) {
    if (m === k || m === l) continue;
    const place = placed(points, [k, l], m, first, second, mirrored);
    const disc = nearest(discs, place, PLACE_TOLERANCE * size, [first, second]);
    found[m] = disc;
    if (disc !== null) misfit = Math.max(misfit, Math.hypot(disc.x - place[0], disc.y - place[1]) / size);
  }
  const seen = found.flatMap((disc, m) => (disc === null ? [] : [{ disc, m }]));
  if (seen.length < 3 || new Set(seen.map(({ disc }) => disc)).size < seen.length) return null;
  return { discs: found, mirrored, scale, misfit, eye: eyeOf(found), toPx: mapThrough(seen, points) };
}

function mapThrough(
  seen: readonly { readonly disc: DiscCandidate; readonly m: number }[],
  points: readonly Point[],
): Homography {
  const from = seen.map(({ m }) => points[m]);
  const to = seen.map(({ disc }): Point => [disc.x, disc.y]);
  return seen.length === 4 ? homography(from, to) : affineThrough(from, to);
}

function eyeOf(found: readonly (DiscCandidate | null)[]): DiscMatch['eye'] {
  const [first, ...others] = found;
  if (others.some((disc) => disc !== null && disc.eye >= EYE)) return 'wrong';
  if (first === null) return 'hidden';
  return first.eye >= EYE ? 'right' : 'wrong';
}

function rank({ discs, eye, misfit }: DiscMatch): number {
  const seen = discs.filter((disc) => disc !== null).length;
  return (seen === 4 ? 2 : 0) + (eye === 'right' ? 3 : eye === 'hidden' ? 2 : 0) - misfit / PLACE_TOLERANCE;
}

/** The same discs in the same places count once. */
function distinct(matches: readonly DiscMatch[]): DiscMatch[] {
  const kept: DiscMatch[] = [];
  for (const match of matches) {
    const known = kept.some((other) => match.discs.every((disc, k) => disc === null || disc === other.discs[k]));
    if (!known) kept.push(match);
  }
  return kept;
}

/** Where point m of the layout lies when two others lie at two discs; mirrored about the line through them if asked. */
function placed(
  points: readonly Point[],
  [k, l]: readonly [number, number],
  m: number,
  first: DiscCandidate,
  second: DiscCandidate,
  mirrored: boolean,
): Point {
  const ux = points[l][0] - points[k][0];
  const uy = points[l][1] - points[k][1];
  const px = points[m][0] - points[k][0];
  const py = points[m][1] - points[k][1];
  const square = ux * ux + uy * uy;
  const along = (px * ux + py * uy) / square;
  const beside = ((ux * py - uy * px) / square) * (mirrored ? -1 : 1);
  const vx = second.x - first.x;
  const vy = second.y - first.y;
  return [first.x + along * vx - beside * vy, first.y + along * vy + beside * vx];
}

function nearest(
  discs: readonly DiscCandidate[],
  place: Point,
  within: number,
  but: readonly DiscCandidate[],
): DiscCandidate | null {
  let best: DiscCandidate | null = null;
  let least = within;
  for (const disc of discs) {
    const away = Math.hypot(disc.x - place[0], disc.y - place[1]);
    if (away < least && !but.includes(disc)) {
      least = away;
      best = disc;
    }
  }
  return best;
}

function apart(a: DiscCandidate, b: DiscCandidate): number {
  return Math.hypot(a.x - b.x, a.y - b.y);
}

function distance(a: Point, b: Point): number {
  return Math.hypot(b[0] - a[0], b[1] - a[1]);
}
