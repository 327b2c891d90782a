/** The origin line and the solvent front, where the sheet does not give them: from the lines across the strip, else from the spot. */
import type { Mark } from './marks.ts';

export interface FoundEnd {
  /** mm from the end where the run starts. */
  readonly mm: number;
  /** Standard uncertainty of the place, mm. */
  readonly uMm: number;
}

/** A line's centre against the line that was meant; a spot's middle against its line. */
const LINE_U_MM = 0.15;
const SPOT_U_MM = 0.5;
/** Shortest run that makes sense, mm. */
const LEAST_RUN_MM = 10;
/** A cloud of the paper may pass for a line: one so much paler than another beyond the origin is none. */
const LEAST_OF_STRONGEST = 0.2;
const SPOT_DENSITY = 0.06;
const LONGEST_SPOT_MM = 5;
const SPOT_CLEAR_MM = 2;
/** Between the colour of a spot and that of all that ran, as density vectors: dyes stay behind in unequal shares. */
const ALL_DYES_RAD = 0.3;

interface Lines {
  readonly bins: number;
  readonly firstMm: number;
  readonly binMm: number;
  readonly marks: readonly Mark[];
  /** The lane's densities, planar. */
  readonly density: Float64Array;
}

/** @param frontMm known front, or null. */
export function findOrigin(lines: Lines, frontMm: number | null): FoundEnd | null {
  const last = frontMm === null ? lines.firstMm + 0.45 * lines.bins * lines.binMm : frontMm - LEAST_RUN_MM;
  const marks = lines.marks.filter((m) => placeOf(lines, m.centre) < last).toSorted((a, b) => b.strength - a.strength);
  if (marks.length > 0) return { mm: placeOf(lines, marks[0].centre), uMm: LINE_U_MM };
  return spotFromStart(lines, last);
}

/**
 * The last line across the strip that is plain beside the others: a tideline or a tick. It is looked for beside the lane: a band near the front
 * would pull it.
 */
export function findFront(lines: Lines, originMm: number | null): FoundEnd | null {
  const first = originMm === null ? lines.firstMm + 0.45 * lines.bins * lines.binMm : originMm + LEAST_RUN_MM;
  const marks = lines.marks.filter((m) => placeOf(lines, m.centre) > first);
  const strongest = Math.max(0, ...marks.map((m) => m.strength));
  const mark = marks.findLast((m) => m.strength > LEAST_OF_STRONGEST * strongest);
  return mark === undefined
    ? null
    : { mm: placeOf(lines, mark.crest) + stoppedAheadMm(mark, lines.binMm), uMm: LINE_U_MM };
}

/**
 * A tideline rises slowly behind the place where the liquid stopped and ends steeply at it. Where it wanders across the strip its mean over the
 * width is darkest behind that place, and the more so the more one-sided it is: about 1.25 times what the two half-widths differ by, for
 * deviations of 0.7 mm behind and 0.25 mm ahead and a wander of 0.3 mm (by convolving them).
 */
function stoppedAheadMm({ brown, halves }: Mark, binMm: number): number {
  const oneSidedMm = (halves[0] - halves[1]) * binMm;
  return brown && oneSidedMm > LEAST_ONE_SIDED_MM ? Math.min(MOST_AHEAD_MM, 1.25 * oneSidedMm) : 0;
}

/** Less is the chance of a pale line. */
const LEAST_ONE_SIDED_MM = 0.15;
const MOST_AHEAD_MM = 0.3;

/**
 * Middle of the first compact patch of colour, when it can be the spot: what stayed at the origin is a little of every dye, so that its colour is
 * that of all the others together. A first band by itself has its own.
 */
function spotFromStart(lines: Lines, lastMm: number): FoundEnd | null {
  const { bins, binMm, density } = lines;
  const all = Float64Array.from({ length: bins }, (_, i) => density[i] + density[bins + i] + density[2 * bins + i]);
  for (let i = 1; i + 1 < bins && placeOf(lines, i) < lastMm; i++) {
    if (all[i] < SPOT_DENSITY || all[i] < all[i - 1] || all[i] <= all[i + 1]) continue;
    let from = i;
    while (from > 0 && all[from - 1] > all[i] / 2) from--;
    let to = i;
    while (to + 1 < bins && all[to + 1] > all[i] / 2) to++;
    if ((to - from) * binMm < LONGEST_SPOT_MM)
      return holdsAllDyes(lines, from, to) ? { mm: placeOf(lines, (from + to) / 2), uMm: SPOT_U_MM } : null;
  }
  return null;
}

function holdsAllDyes({ bins, binMm, density }: Lines, from: number, to: number): boolean {
  const beyond = to + Math.round(SPOT_CLEAR_MM / binMm);
  const sum = (c: number, first: number, end: number): number => {
    let total = 0;
    for (let i = first; i < end; i++) total += Math.max(0, density[c * bins + i]);
    return total;
  };
  const spot = [0, 1, 2].map((c) => sum(c, from, to));
  const others = [0, 1, 2].map((c) => sum(c, Math.min(bins, beyond), bins));
  const size = Math.hypot(...spot) * Math.hypot(...others);
  if (size === 0 || Math.hypot(...others) < Math.hypot(...spot) / 4) return false;
  const cosine = (spot[0] * others[0] + spot[1] * others[1] + spot[2] * others[2]) / size;
  return Math.acos(Math.min(1, cosine)) < ALL_DYES_RAD;
}

function placeOf(lines: Lines, bin: number): number {
  return lines.firstMm + bin * lines.binMm;
}
