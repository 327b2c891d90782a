/** The one pitch that rules share, and where by it others must be: rules that leave the region at a slant, or that writing hides. */
import type { LinePath } from './printedLines.ts';
import { upperMedian } from '../quantile.ts';

type Path = LinePath['coefficients'];

/** A pitch is one when rules lie within this share of it from their places. */
const ASTRAY = 0.03;
const LEAST_RULES = 3;
const LEAST_TO_AGREE = 4;

/**
 * Rules of one page run alike. One that writing led astray by more than a pixel takes the others' slope and bend, and keeps
 * its own middle.
 */
export function inStep(paths: readonly Path[]): Path[] {
  if (paths.length < LEAST_TO_AGREE) return [...paths];
  const slope = upperMedian(
    paths.map((p) => p[1]),
    0,
  );
  const bend = upperMedian(
    paths.map((p) => p[2]),
    0,
  );
  return paths.map((p) => {
    const worst = Math.abs(p[1] - slope) + Math.abs(p[2] - bend);
    // Both parabolas have the same mean over t = −1 … 1, where t² is 1/3.
    return worst < 1 ? p : [p[0] + (p[2] - bend) / 3, slope, bend];
  });
}

/** Paths of the comb's places without a rule that reach into `within` (px across). Empty when the rules have no pitch. */
export function combGaps(paths: readonly Path[], within: readonly [number, number]): Path[] {
  const sorted = paths.toSorted((a, b) => a[0] - b[0]);
  const comb = combOf(sorted.map((p) => p[0]));
  if (comb === null) return [];
  const { first, pitch, members } = comb;
  const own = sorted.filter((p) => members.includes(p[0]));
  const slope = upperMedian(
    own.map((p) => p[1]),
    0,
  );
  const bend = upperMedian(
    own.map((p) => p[2]),
    0,
  );
  const lean = Math.abs(slope) + Math.abs(bend);
  const gaps: Path[] = [];
  const from = Math.floor((within[0] - lean - first) / pitch);
  const to = Math.ceil((within[1] + lean - first) / pitch);
  for (let k = from; k <= to; k++) {
    const at = first + k * pitch;
    const reaches = at + lean > within[0] && at - lean < within[1];
    if (reaches && !sorted.some((p) => Math.abs(p[0] - at) < 0.2 * pitch)) gaps.push([at, slope, bend]);
  }
  return gaps;
}

/** Which of the paths lie on the one pitch that most of them share; none where they have no pitch. */
export function onComb(paths: readonly Path[]): ReadonlySet<Path> {
  const comb = combOf(paths.map((p) => p[0]).toSorted((a, b) => a - b));
  return new Set(comb === null ? [] : paths.filter((p) => comb.members.includes(p[0])));
}

/** px; null when the rules have none. */
export function pitchOf(paths: readonly Path[]): number | null {
  return combOf(paths.map((p) => p[0]).toSorted((a, b) => a - b))?.pitch ?? null;
}

/** Pitch and phase that most of the sorted places share, by least squares over those on the comb. */
function combOf(places: readonly number[]): { first: number; pitch: number; members: readonly number[] } | null {
  if (places.length < LEAST_RULES) return null;
  const steps = places.slice(1).map((p, i) => p - places[i]);
  let best: { first: number; pitch: number; members: readonly number[] } | null = null;
  for (const pitch of steps) {
    for (const origin of places) {
      const members = places.filter((p) => off(p, origin, pitch) < ASTRAY * pitch);
      if (members.length < LEAST_RULES || members.length < 0.6 * places.length) continue;
      if (best === null || members.length > best.members.length) best = { ...fitted(members, origin, pitch), members };
    }
  }
  return best;
}

function off(place: number, origin: number, pitch: number): number {
  const turns = (place - origin) / pitch;
  return Math.abs(turns - Math.round(turns)) * pitch;
}

function fitted(members: readonly number[], origin: number, pitch: number): { first: number; pitch: number } {
  const turns = members.map((p) => Math.round((p - origin) / pitch));
  const n = members.length;
  const meanTurn = turns.reduce((a, b) => a + b, 0) / n;
  const mean = members.reduce((a, b) => a + b, 0) / n;
  const top = turns.reduce((sum, t, i) => sum + (t - meanTurn) * (members[i] - mean), 0);
  const bottom = turns.reduce((sum, t) => sum + (t - meanTurn) ** 2, 0);
  const own = bottom > 0 ? top / bottom : pitch;
  return { pitch: own, first: mean - own * meanTurn };
}
