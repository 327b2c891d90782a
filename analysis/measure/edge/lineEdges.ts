/**
 * Both edges of one stroke at every station, at fractions of a pixel: where the linear contrast falls through half of the
 * core that lies beside the edge, which a symmetric blur leaves in place.
 */
import { type AcrossProfiles, readOuter } from './acrossProfile.ts';
import { boxCore, boxLevel } from './blurredBox.ts';
import { smoothed } from './smoothAlongLine.ts';

/** One side of a stroke. */
export interface EdgeSide {
  /** −1 left of the way, 1 right. */
  readonly side: -1 | 1;
  /** Distance of the edge from the middle, px; NaN where none was found. */
  readonly away: Float64Array;
  /** Contrast of the ink beside the edge, smoothed along the stroke; what a narrow line would hold were it not blurred. */
  readonly core: Float64Array;
  /** Fall of contrast per px outwards at the edge. */
  readonly slope: Float64Array;
}

export interface EdgeLevels {
  /** Contrast of what the ink stands in: 0 paper, more in a halo. */
  readonly ground: number;
  /** Sigma of all blur between ink and pixel, px. */
  readonly sigmaPx: number;
}

/** What edges at any share of the fall are told from, per station: smoothed along the stroke. */
export interface LineCores extends EdgeLevels {
  /** Between the two half-way crossings, px. */
  readonly width: Float64Array;
  /** Contrast in the line's middle. */
  readonly peak: Float64Array;
  /** Where a rough edge was found, and the contrast beside it, on either hand. */
  readonly left: CoreSide;
  readonly right: CoreSide;
}

interface CoreSide {
  readonly side: -1 | 1;
  readonly roughAway: Float64Array;
  readonly plateau: Float64Array;
}

/** The core is read where the blur's tail has ended: beyond this many sigma from the edge … */
const CORE_FROM_SIGMAS = 2.3;
/** … over this depth, mm: less than a stroke's dose changes over, more than a pixel's noise. */
const CORE_DEPTH_MM = 0.12;
/** … and averaged so far along the stroke (sigma), mm. */
const CORE_ALONG_MM = 0.2;
/** A line below this many sigma is a blurred box without a core of its own. */
const NARROW_SIGMAS = 7;

export interface TwoEdges {
  readonly left: EdgeSide;
  readonly right: EdgeSide;
}

/** @param roughHalfPx Half the width as the mask tells it, per station. */
export function lineCores(
  profiles: AcrossProfiles,
  roughHalfPx: Float64Array,
  { ground, sigmaPx }: EdgeLevels,
  pxPerMm: number,
): LineCores {
  const n = roughHalfPx.length;
  const left = new Float64Array(n);
  const right = new Float64Array(n);
  const width = new Float64Array(n);
  const peak = new Float64Array(n);
  const plateauLeft = new Float64Array(n);
  const plateauRight = new Float64Array(n);
  const depth = Math.max(1, CORE_DEPTH_MM * pxPerMm);
  for (let i = 0; i < n; i++) {
    const middle = meanOver(profiles, i, -0.35 * roughHalfPx[i], 0.35 * roughHalfPx[i]);
    const level = ground + 0.5 * (middle - ground);
    left[i] = crossing(profiles, i, -1, level);
    right[i] = crossing(profiles, i, 1, level);
    width[i] = left[i] + right[i];
    const off = Number.isNaN(width[i]) ? 0 : (right[i] - left[i]) / 2;
    peak[i] = meanOver(profiles, i, off - 0.5, off + 0.5);
    const innerLeft = left[i] - CORE_FROM_SIGMAS * sigmaPx;
    plateauLeft[i] = meanOver(profiles, i, -innerLeft, -Math.max(0, innerLeft - depth));
    const innerRight = right[i] - CORE_FROM_SIGMAS * sigmaPx;
    plateauRight[i] = meanOver(profiles, i, Math.max(0, innerRight - depth), innerRight);
  }
  const along = (CORE_ALONG_MM * pxPerMm) / profiles.stationPx;
  return {
    ground,
    sigmaPx,
    width: smoothed(width, along),
    peak: smoothed(peak, along),
    left: { side: -1, roughAway: left, plateau: smoothed(plateauLeft, along) },
    right: { side: 1, roughAway: right, plateau: smoothed(plateauRight, along) },
  };
}

/** @param share Of the fall from core to ground, at which the edge lies. */
export function lineEdges(profiles: AcrossProfiles, cores: LineCores, share: number): TwoEdges {
  const boxes = boxWidths(profiles, cores, share);
  return {
    left: edgeSide(profiles, cores, cores.left, boxes, share),
    right: edgeSide(profiles, cores, cores.right, boxes, share),
  };
}

function edgeSide(
  profiles: AcrossProfiles,
  { width, peak, ground, sigmaPx }: LineCores,
  { side, roughAway, plateau }: CoreSide,
  boxes: Float64Array,
  share: number,
): EdgeSide {
  const n = width.length;
  const away = new Float64Array(n).fill(NaN);
  const slope = new Float64Array(n);
  const core = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    if (Number.isNaN(roughAway[i])) continue;
    let fall = share * (plateau[i] - ground);
    core[i] = plateau[i];
    if (isNarrow(width[i], sigmaPx) || Number.isNaN(plateau[i])) {
      const height = boxCore(peak[i] - ground, boxes[i], sigmaPx);
      core[i] = height + ground;
      fall = boxLevel(height, boxes[i], sigmaPx, share);
    }
    away[i] = crossing(profiles, i, side, ground + fall);
    slope[i] = slopeAt(profiles, i, side, away[i]);
  }
  return { side, away, core, slope };
}

function isNarrow(width: number, sigmaPx: number): boolean {
  return !(width > NARROW_SIGMAS * sigmaPx);
}

/** Width of the blurred box that a line without a core is taken for, px; of other lines nobody asks. */
function boxWidths(profiles: AcrossProfiles, cores: LineCores, share: number): Float64Array {
  const { width, peak, left, right, ground, sigmaPx } = cores;
  const boxes = new Float64Array(width.length);
  for (let i = 0; i < boxes.length; i++) {
    const hasCores = !Number.isNaN(left.plateau[i]) && !Number.isNaN(right.plateau[i]);
    if (hasCores && !isNarrow(width[i], sigmaPx)) continue;
    // The width decides how much a blurred box keeps of its height, and the height where its edge lies: a few times round are enough.
    let w = width[i];
    for (let round = 0; round < 3; round++) {
      const level = ground + boxLevel(boxCore(peak[i] - ground, w, sigmaPx), w, sigmaPx, share);
      const both = crossing(profiles, i, -1, level) + crossing(profiles, i, 1, level);
      if (Number.isNaN(both)) break;
      w = 0.5 * (w + both);
    }
    boxes[i] = w;
  }
  return boxes;
}

/** From the middle outwards, the first place where the profile falls through `level`; NaN when it does not. */
function crossing(profiles: AcrossProfiles, station: number, side: -1 | 1, level: number): number {
  const { data, samples, stepPx } = profiles;
  const last = samples >> 1;
  const centre = station * samples + last;
  let before = data[centre];
  for (let k = 1; k <= last; k++) {
    let v = data[centre + side * k];
    // Most of them: still in the ink.
    if (v >= level) {
      before = v;
      continue;
    }
    if (Number.isNaN(v)) {
      // A hair, or nothing read so far out yet.
      readOuter(profiles, station);
      v = data[centre + side * k];
    }
    if (v < level && before >= level) return (k - 1 + (before - level) / (before - v)) * stepPx;
    if (Number.isNaN(v)) break;
    before = v;
  }
  return NaN;
}

function slopeAt(profiles: AcrossProfiles, station: number, side: -1 | 1, away: number): number {
  const { data, samples, stepPx } = profiles;
  if (Number.isNaN(away)) return 0;
  const k = Math.floor(away / stepPx);
  const at = station * samples + (samples >> 1) + side * k;
  return (data[at] - data[at + side]) / stepPx;
}

/** Mean of a profile between two places along it, px from the middle; straight between samples. */
function meanOver(profiles: AcrossProfiles, station: number, fromPx: number, toPx: number): number {
  const { data, samples, stepPx } = profiles;
  const middle = samples >> 1;
  const from = middle + fromPx / stepPx;
  const to = middle + toPx / stepPx;
  const a = Math.max(0, Math.ceil(from));
  const b = Math.min(samples - 1, Math.floor(to));
  if (!(to >= from)) return NaN;
  if (b < a) return data[station * samples + Math.min(samples - 1, Math.max(0, Math.round((from + to) / 2)))];
  let sum = 0;
  for (let k = a; k <= b; k++) sum += data[station * samples + k];
  return sum / (b - a + 1);
}
