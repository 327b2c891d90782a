/** The paper under the colour, and the colour's absorbance above it. */
import airPLS from 'ml-airpls';
import { localLine } from './localLine.ts';
import { marksIn, shareInLane, takeMarks, type Mark } from './marks.ts';
import type { StripProfile } from './profile.ts';
import { upperMedian } from '../../quantile.ts';

export interface PaperLine {
  /** Signals of the bare paper under the lane, planar like the profile. */
  readonly paper: Float64Array;
  /** Lines across the strip, by place. */
  readonly marks: readonly Mark[];
  /** Where lines show only at the strip's edges, those that cross the lane as well: they tell an end, but are not taken off. */
  readonly crossing: readonly Mark[];
  /** Their density beside the lane, planar. */
  readonly markDensity: Float64Array;
  /** What remains of the bare paper beside the lane: its own pattern, density, planar; null without bare paper. */
  readonly rest: Float64Array | null;
}

/** Light and paper change slowly; what changes within less is colour, marks or pattern. */
const PAPER_REACH_MM = 6;
/** A mark that is longer than this along the run is not a line. */
const LONGEST_MARK_MM = 2.4;
/** At the strip's edges the lane's flank may show: there only finer lines are taken for marks. */
const LONGEST_EDGE_MARK_MM = 1.5;
const LEAST_SIGNAL = 1e-3;
/** Density above which the lane holds colour rather than paper's pattern. */
const LEAST_COLOUR = 0.015;

/** From beside the lane where bare paper lies there, else from under it. */
export function paperLine(profile: StripProfile): PaperLine {
  return profile.side === null ? paperUnderLane(profile) : paperBesideLane(profile, profile.side);
}

/** Paper from both sides of the lane, smoothed along the run so that only slow change is divided out. */
function paperBesideLane(profile: StripProfile, side: Float64Array): PaperLine {
  const { bins, binMm } = profile;
  const { paper, rest } = smoothPaper(side, bins, binMm);
  const marks = marksIn(rest, bins, binMm, LONGEST_MARK_MM);
  return { paper, marks, crossing: [], markDensity: takeMarks(rest, bins, marks), rest };
}

function smoothPaper(signal: Float64Array, bins: number, binMm: number): { paper: Float64Array; rest: Float64Array } {
  const paper = new Float64Array(3 * bins);
  const rest = new Float64Array(3 * bins);
  for (let c = 0; c < 3; c++) {
    const log = signal.slice(c * bins, (c + 1) * bins).map((v) => Math.log10(Math.max(LEAST_SIGNAL, v)));
    const smooth = localLine(log, PAPER_REACH_MM / binMm);
    for (let i = 0; i < bins; i++) {
      paper[c * bins + i] = 10 ** smooth[i];
      rest[c * bins + i] = smooth[i] - log[i];
    }
  }
  return { paper, rest };
}

/**
 * No bare paper beside the lane: adaptive iteratively reweighted penalised least squares under the lane itself. It must never climb
 * into broad bands, so it is held below the straight line between the strip's two bare ends.
 * Source of the method: Zhang, Chen & Liang (2010), Analyst 135, 1138–1146.
 */
function paperUnderLane(profile: StripProfile): PaperLine {
  const { bins, binMm, lane } = profile;
  const paper = new Float64Array(3 * bins);
  const places = Float64Array.from({ length: bins }, (_, i) => i * binMm);
  const end = Math.max(1, Math.min(Math.round(2 / binMm), bins >> 3));
  for (let c = 0; c < 3; c++) {
    const density = lane.slice(c * bins, (c + 1) * bins).map((v) => -Math.log10(Math.max(LEAST_SIGNAL, v)));
    const first = upperMedian(density.slice(0, end), 0);
    const last = upperMedian(density.slice(-end), 0);
    const { baseline } = airPLS(places, density, { lambda: (30 / binMm) ** 2, maxIterations: 30 });
    for (let i = 0; i < bins; i++) {
      const straight = first + ((last - first) * i) / Math.max(1, bins - 1);
      paper[c * bins + i] = 10 ** -Math.min(baseline[i], straight + 0.004);
    }
  }
  return { paper, ...marksAtEdges(profile, paper), rest: null };
}

/** Lines that cross lane and edges alike, seen at the edges; none are taken when the edges carry the lane's own colour. */
function marksAtEdges(
  profile: StripProfile,
  paper: Float64Array,
): { marks: Mark[]; crossing: Mark[]; markDensity: Float64Array } {
  const { bins, binMm, lane, edge } = profile;
  const { rest } = smoothPaper(edge, bins, binMm);
  const marks = marksIn(rest, bins, binMm, LONGEST_EDGE_MARK_MM);
  let together = 0;
  let own = 0;
  for (let k = 0; k < 3 * bins; k++) {
    const i = k % bins;
    if (marks.some(({ from, to }) => i >= from - 2 && i < to + 2)) continue;
    const inLane = Math.log10(paper[k] / Math.max(LEAST_SIGNAL, lane[k]));
    if (inLane < LEAST_COLOUR) continue;
    together += inLane * Math.log10(paper[k] / Math.max(LEAST_SIGNAL, edge[k]));
    own += inLane * inLane;
  }
  const taken = own > 0 && together > 0.3 * own ? [] : marks;
  const crossing = marksIn(rest, bins, binMm, LONGEST_MARK_MM)
    .filter((mark) => taken.every(({ from, to }) => mark.crest < from || mark.crest >= to))
    .filter((mark) => crossesLane(mark, rest, lane, bins, binMm));
  return { marks: taken, crossing, markDensity: takeMarks(rest, bins, taken) };
}

/**
 * Short strokes drawn in from one edge of the strip, such as tell where the front stood; by place. At an edge colour shows as a flank, which is
 * longer than a pencil's stroke.
 */
export function ticks(profile: StripProfile): Mark[] {
  const { bins, binMm, margins } = profile;
  return margins
    .flatMap((margin) => marksIn(smoothPaper(margin, bins, binMm).rest, bins, binMm, LONGEST_TICK_MM))
    .filter((mark) => mark.strength > LEAST_TICK)
    .toSorted((a, b) => a.centre - b.centre);
}

/**
 * Tidelines too long for a drawn line: brown that gathers behind the front and ends steeply at it, on the bare paper beside the lane; by place.
 */
export function longTidelines({ rest }: PaperLine, { bins, binMm }: StripProfile): Mark[] {
  if (rest === null) return [];
  return marksIn(rest, bins, binMm, LONGEST_TIDELINE_MM).filter(({ brown }) => brown);
}

const LONGEST_TIDELINE_MM = 4;
/** A pencil's stroke, mm, and its least density over a margin, three channels summed. */
const LONGEST_TICK_MM = 1.6;
const LEAST_TICK = 0.08;

/** A line across is as dark in the lane as at the edges; a band's flank at the edges is much paler than the band. */
function crossesLane(mark: Mark, rest: Float64Array, lane: Float64Array, bins: number, binMm: number): boolean {
  const around = Math.max(2, Math.round(AROUND_MM / binMm));
  const bump = (of: (c: number, i: number) => number, i: number): number =>
    [0, 1, 2].reduce((sum, c) => sum + of(c, i), 0);
  const dark = (c: number, i: number): number => -Math.log10(Math.max(LEAST_SIGNAL, lane[c * bins + i]));
  const crest = Math.min(bins - 1, Math.max(0, Math.round(mark.crest)));
  const [before, after] = [Math.max(0, mark.from - around), Math.min(bins - 1, mark.to + around)];
  const own = bump(dark, crest) - (bump(dark, before) + bump(dark, after)) / 2;
  const atEdge = bump((c, i) => rest[c * bins + i], crest);
  return own < MOST_IN_LANE * atEdge && own > LEAST_IN_LANE * atEdge;
}

const AROUND_MM = 0.7;
const MOST_IN_LANE = 1.7;
const LEAST_IN_LANE = 0.4;

/** A = −log10(R / R_paper), with the marks' share in the lane taken off; planar. A signal of nothing has no density: at most 3. */
export function absorbance(profile: StripProfile, line: PaperLine): Float64Array {
  const { bins, binMm } = profile;
  const density = profile.lane.map((v, i) => -Math.log10(Math.max(LEAST_SIGNAL, v / line.paper[i])));
  const shares = line.marks.map((mark) => shareInLane(mark, density, line.markDensity, bins, binMm));
  line.marks.forEach(({ from, to }, m) => {
    for (let c = 0; c < 3; c++)
      for (let i = c * bins + from; i < c * bins + to; i++) density[i] -= shares[m] * line.markDensity[i];
  });
  return density;
}
