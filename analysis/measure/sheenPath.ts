/**
 * An ink's own path from thin to thick where part of the ink may have sheen, which bends a path through all of its colours toward itself. Sheen only
 * adds light, and of what the ink takes away: nothing lies off the ink's own path on the other side, and the path does not turn to where sheen leads.
 * Of several paths, each fitted closer to that side, the one is taken that leaves and turns least.
 */
import { labMetric } from '../calibrate/colourMetric.ts';
import { type LabD50, type Xyz, xyzToLab } from '../colour/lab.ts';
import type { LabValue } from '../quantity.ts';
import { triple } from '../triple.ts';
import { fitInkPath, type InkPath, type PathOptions, type PathPoint } from './inkPath.ts';

export interface PathBesideSheen {
  readonly path: InkPath;
  /** Share of the colours that lie off it on the side where sheen cannot be, 0..1: the path is bent all the same, or what lies off it is no sheen. */
  readonly wrongSide: number;
  /** Share that lies off it on sheen's side, however little, 0..1. */
  readonly towardSheen: number;
  /** How surely a path through such colours turns to where sheen leads: sheen may bend this one too, 0..1. */
  readonly turned: number;
}

/** Colours that teach the path: more say the same. */
const TEACHING = 600;
/** Colours further off than this do not teach the path, ΔE00. */
const OUTLYING_DE = 3;
/** Nor do these, once sheen's side is known. */
const TOWARD_SHEEN_DE = 1.2;
const AGAINST_SHEEN_DE = 6;
/** A path is begun from so many of the colours, the palest, and grows from there by what lies on it; of ink from very thin to thick the palest tell too little of the densest. */
const BEGUN = [0.3, 0.5, 0.7] as const;
const BEGUN_WIDE = 0.5;
const WIDE = 3;
const GROWN = 4;
const CLOSER = 3;
/** Where hardly more than one dose lets a path bend as it likes, others are tried that bend less: a film's own bends are small there. */
const STIFFER = [1e-3, 1e-2] as const;
/** Of what lies off another on sheen's side a stiff one must leave so much: what passes between ink and sheen leaves nothing, and tells nothing. */
const STIFF_FINDS = 0.5;
/** What is off on sheen's side speaks so much less against a path than what is off on the other. */
const OFF_TOWARD = 0.05;
/** As if so much more were off on sheen's side: no layer of ink gives more light back than a thinner one. */
const RISING = 0.2;
/** By so much, in sines, may a path turn by itself; by so much more it surely follows sheen (tuned: decision 0041). */
const TURN = 0.05;
const SURE_TURN = 0.1;
/** Within this, ΔE00, or three times the scatter of the nearest third, a colour lies on a path. */
const ON_DE = 1;
const STEPS = 120;
const BEYOND = 1.3;
/** A channel in which the ink takes hardly any light away tells no depth. */
const TELLING = 0.15;

/** @param xyz Interleaved, one triple a pixel. @returns null where they tell no path */
export function pathBesideSheen(xyz: Float32Array, paper: Xyz): PathBesideSheen | null {
  const points = taught(xyz);
  const own = fitInkPath(points, paper, { outlyingDE: OUTLYING_DE });
  if (own === null) return null;
  const labs = points.map((p) => xyzToLab(p.xyz));
  const sides = (path: InkPath): Sides => sidesOf(path, points, labs);
  const bent = [own, ...grownPaths(own, points, paper, sides)].map((path) => closer(path, points, paper, sides));
  const stiff = isWide(own) ? [] : stiffPaths(points, paper, sides);
  const on = Math.max(ON_DE, 3 * Math.min(...[...bent, ...stiff].map(({ at }) => scatterOf(at.away))));
  let best = least(bent, on);
  const [toward] = shares(best.at, on);
  best = least([best, ...stiff.filter(({ at }) => shares(at, on)[0] >= STIFF_FINDS * toward)], on);
  const [towardSheen, wrongSide] = shares(best.at, on);
  const turned = Math.min(1, Math.max(0, ...bent.map(({ at }) => (at.turn - TURN) / SURE_TURN)));
  return { path: best.path, wrongSide, towardSheen, turned };
}

interface Tried {
  readonly path: InkPath;
  readonly at: Sides;
}

/** The first of those that leave least on the wrong side and turn least. */
function least(paths: readonly Tried[], on: number): Tried {
  const costs = paths.map(({ at }) => {
    const [toward, against] = shares(at, on);
    return against + OFF_TOWARD * (toward + (at.rises ? RISING : 0) + Math.max(0, at.turn - TURN));
  });
  return paths[costs.indexOf(Math.min(...costs))];
}

/** A path fitted closer to the side on which no sheen can be. */
function closer(
  path: InkPath,
  points: readonly PathPoint[],
  paper: Xyz,
  sides: (path: InkPath) => Sides,
  options: PathOptions = {},
): Tried {
  let best = path;
  let at = sides(best);
  for (let round = 0; round < CLOSER; round++) {
    const near = at;
    const weighed = points.map((p, i) => ({
      xyz: p.xyz,
      weight: biweight(near.away[i] / (near.along[i] > 0.5 ? TOWARD_SHEEN_DE : AGAINST_SHEEN_DE)),
    }));
    best = fitInkPath(weighed, paper, options) ?? best;
    at = sides(best);
  }
  return { path: best, at };
}

function stiffPaths(points: readonly PathPoint[], paper: Xyz, sides: (path: InkPath) => Sides): Tried[] {
  return STIFFER.flatMap((stiffness) => {
    const path = fitInkPath(points, paper, { outlyingDE: OUTLYING_DE, stiffness });
    return path ? [closer(path, points, paper, sides, { stiffness })] : [];
  });
}

function isWide({ from, to }: InkPath): boolean {
  return to / from > WIDE;
}

function taught(xyz: Float32Array): PathPoint[] {
  const n = xyz.length / 3;
  const stride = Math.max(1, Math.floor(n / TEACHING));
  return Array.from({ length: Math.floor(n / stride) }, (_, j) => {
    const i = 3 * j * stride;
    return { xyz: [xyz[i], xyz[i + 1], xyz[i + 2]], weight: 1 };
  });
}

/** Paths begun from the palest. */
function grownPaths(
  own: InkPath,
  points: readonly PathPoint[],
  paper: Xyz,
  sides: (path: InkPath) => Sides,
): InkPath[] {
  const depths = depthsOf(points, paper);
  const palest = points.map((_, i) => i).sort((a, b) => depths[a] - depths[b]);
  return BEGUN.filter((share) => !isWide(own) || share >= BEGUN_WIDE).flatMap((share) => {
    const first = palest.slice(0, Math.floor(share * palest.length)).map((i) => points[i]);
    let path = fitInkPath(first, paper, { outlyingDE: OUTLYING_DE / 2 });
    for (let round = 0; path && round < GROWN; round++) {
      const { away } = sides(path);
      path = fitInkPath(
        points.filter((_, i) => away[i] < TOWARD_SHEEN_DE),
        paper,
        { outlyingDE: OUTLYING_DE },
      );
    }
    return path ? [path] : [];
  });
}

/** Depth by the channel that tells the deepest, each over its mean: sheen's light makes ink look paler, in that one least. */
function depthsOf(points: readonly PathPoint[], paper: Xyz): Float64Array {
  const all = points.map(({ xyz }) => triple((c) => -Math.log(Math.max(1e-5, xyz[c]) / paper[c])));
  const means = triple((c) => all.reduce((sum, a) => sum + a[c], 0) / all.length);
  const least = TELLING * Math.max(...means);
  return Float64Array.from(all, (a) => Math.max(...triple((c) => (means[c] > least ? a[c] / means[c] : 0))));
}

interface Sides {
  /** Of each colour how far it lies off the path, ΔE00. */
  readonly away: Float64Array;
  /** Cosine of its way off to the way in which sheen leads there. */
  readonly along: Float64Array;
  /** Somewhere the path gets lighter as the ink gets denser, in X, Y or Z. */
  readonly rises: boolean;
  /** How far it turns to where sheen leads: the largest sine of the angle between the two that it has before its end, less the one there. */
  readonly turn: number;
}

function sidesOf(path: InkPath, points: readonly PathPoint[], labs: readonly LabD50[]): Sides {
  const end = path.to * BEYOND;
  const steps = Array.from({ length: STEPS + 1 }, (_, s) => pathStep(path, (s / STEPS) * end));
  const away = new Float64Array(points.length);
  const along = new Float64Array(points.length);
  for (let i = 0; i < points.length; i++) {
    const lab = labs[i];
    let step = Math.min(STEPS, Math.max(0, Math.round((path.depthOf(points[i].xyz) / end) * STEPS)));
    let v = wayOff(lab, steps[step]);
    let d = Math.hypot(v[0], v[1], v[2]);
    // Downhill from the depth that the colour has by itself.
    for (const turn of [-1, 1]) {
      for (let next = step + turn; next >= 0 && next <= STEPS; next += turn) {
        const vNext = wayOff(lab, steps[next]);
        const dNext = Math.hypot(vNext[0], vNext[1], vNext[2]);
        if (dNext >= d) break;
        [step, d, v] = [next, dNext, vNext];
      }
    }
    const { sheen } = steps[step];
    away[i] = d;
    along[i] = (v[0] * sheen[0] + v[1] * sheen[1] + v[2] * sheen[2]) / Math.max(1e-9, d);
  }
  const known = steps.slice(0, Math.floor(STEPS / BEYOND));
  const rises = known.some(({ xyz }, s) => s > 0 && xyz.some((v, c) => v > RISE * known[s - 1].xyz[c]));
  const inked = known.slice(Math.min(known.length - 1, Math.ceil((STEPS * path.from) / end))).map(({ sine }) => sine);
  return { away, along, rises, turn: Math.max(...inked) - inked[inked.length - 1] };
}

/** More than rounding. */
const RISE = 1.0005;

interface PathStep {
  readonly xyz: Xyz;
  readonly lab: LabD50;
  readonly metric: readonly number[];
  /** Where sheen leads from here, across the path; length 1. */
  readonly sheen: LabValue;
  /** Of the angle between that and the path; 0 where sheen leads along it. */
  readonly sine: number;
}

function pathStep(path: InkPath, depth: number): PathStep {
  const { paper } = path;
  const xyz = path.xyzAt(depth);
  const lab = xyzToLab(xyz);
  const step = { lab, metric: labMetric(lab) };
  // Crystals give back what the ink takes away.
  const brighter: Xyz = triple((c) => xyz[c] + LITTLE * paper[c] * Math.max(0, 1 - xyz[c] / paper[c]) ** METALLIC);
  const way = wayOff(xyzToLab(brighter), step);
  const tangent = wayOff(xyzToLab(path.xyzAt(depth + LITTLE)), step);
  const length2 = tangent[0] ** 2 + tangent[1] ** 2 + tangent[2] ** 2;
  const shadow = (way[0] * tangent[0] + way[1] * tangent[1] + way[2] * tangent[2]) / Math.max(1e-12, length2);
  const across = triple((c) => way[c] - shadow * tangent[c]);
  const size = Math.max(1e-9, Math.hypot(...across));
  return { ...step, xyz, sheen: triple((c) => across[c] / size), sine: size / Math.max(1e-9, Math.hypot(...way)) };
}

const LITTLE = 0.002;
/** Reflection at a metal's bright band grows faster than absorption there; common practice, no source. */
const METALLIC = 1.5;

function wayOff(lab: LabD50, { lab: p, metric: m }: Pick<PathStep, 'lab' | 'metric'>): LabValue {
  const [dL, da, db] = [lab[0] - p[0], lab[1] - p[1], lab[2] - p[2]];
  return [m[0] * dL, m[4] * da + m[5] * db, m[7] * da + m[8] * db];
}

/** Shares of colours off a path: on sheen's side and on the other. */
function shares({ away, along }: Sides, on: number): readonly [toward: number, against: number] {
  let [toward, against] = [0, 0];
  for (let i = 0; i < away.length; i++) {
    if (away[i] < on) continue;
    if (along[i] > 0.5) toward++;
    else if (along[i] < -0.5) against++;
  }
  return [toward / away.length, against / away.length];
}

/** Standard deviation across a path, by the nearest third of the colours: of two-dimensional normal scatter they lie within 0.84 of it. */
function scatterOf(away: Float64Array): number {
  return away.toSorted()[Math.floor(0.3 * (away.length - 1))] / 0.845;
}

function biweight(r: number): number {
  return r >= 1 ? 1e-6 : (1 - r * r) ** 2;
}
