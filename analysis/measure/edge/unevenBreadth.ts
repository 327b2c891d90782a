/**
 * Whether an edge is as broad at one place as at the next. A blur, a soft edge and a ring are alike all along, and a wave moves an edge without making it
 * broader; hairs stretch its outer half here and there. So where its breadth differs by more than pixels explain, there are hairs that nobody told apart.
 */
import { selectKth } from '../../raster/select.ts';
import type { AcrossProfiles } from './acrossProfile.ts';
import type { CentreLine } from './centreLine.ts';
import type { EdgeSide, LineCores } from './lineEdges.ts';
import type { StrokeEdges } from './strokeEdges.ts';

type Spaced = Pick<CentreLine, 'stepPx'>;
type Read = Pick<AcrossProfiles, 'data' | 'samples' | 'stepPx'>;

export interface ClearEdge {
  readonly stroke: Pick<StrokeEdges, 'inner'> & { readonly line: Spaced; readonly profiles: Read };
  readonly cores: Pick<LineCores, 'ground' | 'peak'>;
  readonly side: Pick<EdgeSide, 'side' | 'core' | 'slope'>;
  /** 1 where this edge is its own and no hair's. */
  readonly clear: Uint8Array;
}

/** The breadth goes from the upper to the lower of these shares of the fall. */
const FROM = 0.8;
const TO = 0.2;
/** Two places so far apart are compared, mm: about as far as hairs are, but near enough for a stroke's slow changes to count for nothing. */
const APART_MM = 0.2;
/** Some hundred pairs tell it; with fewer it is not told. */
const LEAST_PAIRS = 60;
const ENOUGH_PAIRS = 4000;
/** Breadths of even edges differ by less than this share of the blur's sigma, whatever their waves, and by what the grid makes of edges that fall within a pixel (drawn edges, seeds 100–999). */
const SHARE = 0.08;
const GRID_PX = 0.75;

/** Standard deviation of an edge's breadth between near places, px, the noise's part taken off; null with too few. @param noise of the contrast on bare paper */
export function unevenBreadthPx(edges: readonly ClearEdge[], noise: number, pxPerMm: number): number | null {
  let stations = 0;
  for (const { clear } of edges) stations += clear.length;
  const stride = Math.max(1, Math.floor(stations / ENOUGH_PAIRS));
  const differences = new Float64Array(Math.ceil(stations / stride) + edges.length);
  let pairs = 0;
  let byNoise = 0;
  for (const edge of edges) {
    const apart = Math.max(1, Math.round((APART_MM * pxPerMm) / edge.stroke.line.stepPx));
    for (let i = 0; i + apart < edge.clear.length; i += stride) {
      const difference = Math.abs(breadth(edge, i + apart) - breadth(edge, i));
      if (Number.isNaN(difference)) continue;
      differences[pairs++] = difference;
      // Either end of a breadth lies where the edge is less steep than in its middle.
      byNoise += 2 * (noise / Math.max(1e-3, FLATTER * edge.side.slope[i])) ** 2;
    }
  }
  if (pairs < LEAST_PAIRS) return null;
  // The median of a half-normal lies at 0.6745 sigma; two places differ by √2 of what one does.
  const sd = selectKth(differences, pairs, pairs >> 1) / 0.6745 / Math.SQRT2;
  return Math.sqrt(Math.max(0, sd * sd - byNoise / pairs));
}

/** Of a Gaussian's slope at its middle, where it has fallen by a fifth. */
const FLATTER = 0.7;

/** Whether so much is more than pixels explain. @param sigmaPx of the blur */
export function isUnevenBreadth(breadthPx: number | null, sigmaPx: number): boolean {
  // What a blur of this sigma leaves of the finest wave that pixels hold.
  const grid = GRID_PX * Math.exp(-0.5 * (Math.PI * sigmaPx) ** 2);
  return breadthPx !== null && breadthPx > SHARE * sigmaPx + grid;
}

/** NaN where it is not clear all through. */
function breadth({ stroke: { profiles, inner }, cores: { ground, peak }, side, clear }: ClearEdge, i: number): number {
  if (clear[i] === 0 || inner[i] === 0) return NaN;
  const fall = Math.min(side.core[i], peak[i]) - ground;
  return outmost(profiles, i, side.side, ground + TO * fall) - outmost(profiles, i, side.side, ground + FROM * fall);
}

/** From the middle outwards, the first place where the profile falls through `level`, px; NaN when it does not where it was read. */
function outmost({ data, samples, stepPx }: Read, station: number, side: -1 | 1, level: number): number {
  const last = samples >> 1;
  const centre = station * samples + last;
  for (let k = 1; k <= last; k++) {
    const v = data[centre + side * k];
    if (v >= level) continue;
    const before = data[centre + side * (k - 1)];
    return before >= level ? (k - 1 + (before - level) / (before - v)) * stepPx : NaN;
  }
  return NaN;
}
