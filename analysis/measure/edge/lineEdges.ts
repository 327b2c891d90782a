/**
 * Both edges of one stroke at every station, at fractions of a pixel: where the linear contrast falls through half of the
 * core that lies beside the edge, which a symmetric blur leaves in place.
 */
import type { AcrossProfiles } from './acrossProfile.ts';
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
  /** Share of the fall from core to ground at which the edge lies. */
  readonly share: number;
  /** Contrast of what the ink stands in: 0 paper, more in a halo. */
  readonly ground: number;
  /** Sigma of all blur between ink and pixel, px. */
  readonly sigmaPx: number;
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
export function lineEdges(
  profiles: AcrossProfiles,
  roughHalfPx: Float64Array,
  levels: EdgeLevels,
  pxPerMm: number,
): TwoEdges {
  const n = roughHalfPx.length;
  const first = { left: new Float64Array(n), right: new Float64Array(n) };
  const middle = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    middle[i] = meanOver(profiles, i, -0.35 * roughHalfPx[i], 0.35 * roughHalfPx[i]);
    const level = levels.ground + 0.5 * (middle[i] - levels.ground);
    first.left[i] = crossing(profiles, i, -1, level);
    first.right[i] = crossing(profiles, i, 1, level);
  }
  const alongStations = (CORE_ALONG_MM * pxPerMm) / profiles.stationPx;
  const width = smoothed(
    first.left.map((l, i) => l + first.right[i]),
    alongStations,
  );
  const { sigmaPx } = levels;
  const peak = smoothed(
    middle.map((_, i) => meanOver(profiles, i, mid(first, i) - 0.5, mid(first, i) + 0.5)),
    alongStations,
  );
  const core = (side: -1 | 1, away: Float64Array) =>
    smoothed(
      away
        .map((e) => e)
        .map((e, i) => {
          const inner = e - CORE_FROM_SIGMAS * sigmaPx;
          const depth = Math.max(1, CORE_DEPTH_MM * pxPerMm);
          const from = Math.max(0, inner - depth);
          return side < 0 ? meanOver(profiles, i, -inner, -from) : meanOver(profiles, i, from, inner);
        }),
      alongStations,
    );
  const wide = { left: core(-1, first.left), right: core(1, first.right) };
  return {
    left: finalSide(-1, first.left, wide.left),
    right: finalSide(1, first.right, wide.right),
  };

  function finalSide(side: -1 | 1, rough: Float64Array, plateau: Float64Array): EdgeSide {
    const away = new Float64Array(n).fill(NaN);
    const slope = new Float64Array(n);
    const cores = new Float64Array(n);
    for (let i = 0; i < n; i++) {
      if (Number.isNaN(rough[i])) continue;
      const narrow = !(width[i] > NARROW_SIGMAS * sigmaPx) || Number.isNaN(plateau[i]);
      let level: number;
      if (narrow) {
        // The width decides how much a blurred box keeps of its height, and the height where its edge lies: twice round is enough.
        let w = width[i];
        cores[i] = boxCore(peak[i] - levels.ground, w, sigmaPx) + levels.ground;
        for (let round = 0; round < 3; round++) {
          level = boxLevel(cores[i] - levels.ground, w, sigmaPx, levels.share) + levels.ground;
          const both = crossing(profiles, i, -1, level) + crossing(profiles, i, 1, level);
          if (Number.isNaN(both)) break;
          w = 0.5 * (w + both);
          cores[i] = boxCore(peak[i] - levels.ground, w, sigmaPx) + levels.ground;
        }
        level = boxLevel(cores[i] - levels.ground, w, sigmaPx, levels.share) + levels.ground;
      } else {
        cores[i] = plateau[i];
        level = levels.ground + levels.share * (plateau[i] - levels.ground);
      }
      away[i] = crossing(profiles, i, side, level);
      slope[i] = slopeAt(profiles, i, side, away[i]);
    }
    return { side, away, core: cores, slope };
  }
}

function mid(first: { readonly left: Float64Array; readonly right: Float64Array }, i: number): number {
  const m = (first.right[i] - first.left[i]) / 2;
  return Number.isNaN(m) ? 0 : m;
}

/** From the middle outwards, the first place where the profile falls through `level`; NaN when it does not. */
function crossing(profiles: AcrossProfiles, station: number, side: -1 | 1, level: number): number {
  const { data, samples, stepPx, readOuter } = profiles;
  const last = samples >> 1;
  const centre = station * samples + last;
  let before = data[centre];
  for (let k = 1; k <= last; k++) {
    let v = data[centre + side * k];
    if (Number.isNaN(v)) {
      // A hair, or nothing read so far out yet.
      readOuter(station);
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
