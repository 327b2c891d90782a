/**
 * The odd one out: each sample's colours against the ink's own path from thin to thick through its other samples on that paper. A pen that held another
 * ink leaves it. Water alone does not: it only thins, along the path.
 */
import type { Calibration } from '../calibrate/calibration.ts';
import { labMetric } from '../calibrate/colourMetric.ts';
import { differenceUncertainty } from '../calibrate/uncertainty.ts';
import { deltaE2000 } from '../colour/deltaE.ts';
import { type LabD50, type Xyz, xyzToLab } from '../colour/lab.ts';
import type { Flag, LabValue, Quantity } from '../quantity.ts';
import { triple } from '../triple.ts';
import {
  fitInkPath,
  type InkPath,
  type NearestOnPath,
  nearestOnPath,
  type PathPoint,
  searched,
  type SearchedPath,
} from './inkPath.ts';
import { combine } from './uncertainty.ts';

export const PATH_METHOD = 'pathDistance/9';

/** One sample as the path needs it: its colours by how dense they are. */
export interface PathSample {
  readonly region: string;
  readonly colours: readonly { readonly xyz: Xyz; readonly share: number }[];
  readonly paper: Xyz;
  /** Covariance of its mean Lab, 3 × 3 row-major, and its change when the edge moves by one pixel. */
  readonly covariance: readonly number[];
  readonly placement: LabValue;
  /** Read along core lines with the blur undone. */
  readonly narrow: boolean;
  /** Its lines are so narrow that its colours from thin to thick are mixed with paper: no path goes through them. @default false */
  readonly tooNarrow?: boolean;
  /** Share of it that has sheen, 0..1, which leaves the path as another ink does and is left out of `colours` as far as it is seen. @default 0 */
  readonly sheen?: number;
  readonly flags: readonly Flag[];
}

export interface PathOptions {
  /** Standard uncertainties that a distance must exceed for another ink: 1 % of Rayleigh's distribution lies beyond 3. @default 3 */
  readonly limit?: number;
  /** What two samples of one ink differ by that nothing above tells, ΔE00 per axis (study/writing). @default 0.2 */
  readonly floorDE?: number;
  /** The same of one whose blur was undone. @default 0.45 */
  readonly narrowDE?: number;
  /** The path is followed this far beyond its densest colour, as a factor on depth: another ink is often denser than all others (study/writing). @default 1.5 */
  readonly beyond?: number;
}
export const PATH_DEFAULTS = {
  limit: 3,
  floorDE: 0.2,
  narrowDE: 0.45,
  beyond: 1.5,
} satisfies Required<PathOptions>;

/** A sample alone that spans this much of depth tells a path. */
const GRADED = 3;
/** What a graded sample shows ahead of others that, their thin ends aside, reach over less than this much of depth is foretold by nothing (as the film's LEAST_SPAN). */
const LEAST_SPAN = 1.5;
/** Share of a sample at either end that may be pixels of paper beside ink, or of a crossing. */
const THIN_END = 0.1;
/** Of a sample's ink at least this share must lie where the path is known. */
const LEAST_SHARE = 0.3;
/** Trust in the colours of a sample whose blur was undone. */
const NARROW_WEIGHT = 0.25;
/**
 * Where no other sample's colours lie the path is only foretold. Beyond the densest of them it may bend by this share of the way from there: of light
 * inks, and more of dark ones, which turn as they saturate. Ahead of the palest, by this share of the shorter of the ways from there and from the paper.
 * So much exact colours are off, root mean square, however a path is drawn on (docs/decisions/0033-a-path-foretold-bends.md).
 */
const BEYOND_DENSEST = { light: 0.12, dark: 0.45, fromL: 35, downToL: 20 };
const AHEAD_OF_PALEST = 0.06;
/** How far what sheen leaves beside itself may take a sample off the path, ΔE00 times the share that it has (study/writing). */
const SHEEN_DE = 5;
/** Of a path that hardly bends (inkPath.ts). */
const STIFF = 0.01;

/** All samples of one ink on one paper under one calibration. */
export function pathDistances(
  all: readonly PathSample[],
  calibration: Calibration,
  options: PathOptions = {},
): Quantity[] {
  const used = { ...PATH_DEFAULTS, ...options };
  const heard = all.filter(({ tooNarrow }) => tooNarrow !== true);
  const found = judgedTogether(heard, calibration, used);
  return all.map((sample) => told(sample, found[heard.indexOf(sample)] ?? null, used));
}

function judgedTogether(
  samples: readonly PathSample[],
  calibration: Calibration,
  used: Required<PathOptions>,
): (Judged | null)[] {
  const odd = new Set<string>();
  const judge = (without: ReadonlySet<string> = odd): (Judged | null)[] =>
    samples.map((s) => judged(s, samples, without, calibration, used));
  let all = judge();
  // One that is off pulls the path of the others towards it and makes them look off too: the one without which the others agree best is taken out, and
  // all are judged again.
  for (let left = samples.length; left > 2; left--) {
    const suspects = all.flatMap((j) => (j && !odd.has(j.region) && isOdd(j, used) ? [j.region] : []));
    if (suspects.length === 0) break;
    const strains = suspects.map((s) =>
      strain(
        samples.filter(({ region }) => region !== s && !odd.has(region)),
        used,
      ),
    );
    odd.add(suspects[strains.indexOf(Math.min(...strains))]);
    all = judge();
  }
  // One that was taken out before a worse one may be the ink after all; left out, its colours would be missing from the path of all others.
  for (const region of odd) {
    const heard = all.find((j) => j?.region === region);
    if (!heard || isOdd(heard, used)) continue;
    const without = new Set([...odd].filter((other) => other !== region));
    const again = judge(without);
    if (again.some((j) => j && !without.has(j.region) && isOdd(j, used))) continue;
    odd.delete(region);
    all = again;
  }
  return all;
}

interface Judged {
  readonly region: string;
  readonly value: number;
  readonly parts: ReturnType<typeof combine>;
}

function isOdd({ value, parts }: Judged, { limit }: Required<PathOptions>): boolean {
  return value > limit * parts.u;
}

/** How far samples are from a common path that hardly bends: mean ΔE00 squared; two samples of two inks can share one that bends enough. */
function strain(samples: readonly PathSample[], used: Required<PathOptions>): number {
  const path = fitInkPath(samples.flatMap(pointsOf), samples[0].paper, { stiffness: STIFF });
  if (path === null) return Infinity;
  const line = taughtLine(path, used);
  const squares = samples.flatMap((sample) => {
    const off = meanOff(sample, line);
    return off ? [dot(off.mean, off.mean)] : [];
  });
  return squares.reduce((a, b) => a + b, 0) / Math.max(1, squares.length);
}

function told(sample: PathSample, j: Judged | null, used: Required<PathOptions>): Quantity {
  const own = {
    quantity: 'pathDistance',
    subject: { regions: [sample.region] },
    unit: 'ΔE00',
    method: PATH_METHOD,
  } as const;
  if (j === null) return { ...own, value: null, u: null, flags: [...sample.flags, 'cannot-tell'] };
  const flags: Flag[] = isOdd(j, used) ? [...sample.flags, 'another-ink'] : [...sample.flags];
  return { ...own, value: j.value, ...j.parts, flags };
}

function judged(
  sample: PathSample,
  samples: readonly PathSample[],
  odd: ReadonlySet<string>,
  calibration: Calibration,
  used: Required<PathOptions>,
): Judged | null {
  const others = samples.filter((s) => s.region !== sample.region && !odd.has(s.region));
  const path = fitInkPath(others.flatMap(pointsOf), sample.paper);
  if (path === null || (others.length < 2 && path.to / path.from < GRADED)) return null;
  const own = reach([sample], path);
  const theirs = reach(others, path);
  if (own.to >= GRADED * own.from && theirs.to < LEAST_SPAN * theirs.from) return null;
  const line = taughtLine(path, used);
  const off = meanOff(sample, line);
  if (off === null) return null;
  const value = Math.hypot(...off.mean);
  // How well other samples keep to the common path says how well this one may be expected to.
  const scatters = others.flatMap((o) => {
    const own = meanOff(o, line);
    return own ? [dot(own.mean, own.mean) / 2] : [];
  });
  const scatter = scatters.length > 0 ? scatters.reduce((a, b) => a + b, 0) / scatters.length : 0;
  const metric = labMetric(off.lab);
  const repeat = Math.sqrt(
    Math.max(0, across(metric, sample.covariance, off.along)) + scatter * (1 + 1 / others.length),
  );
  const placement = acrossLength(metric, sample.placement, off.along) / Math.SQRT2;
  const floor = sample.narrow ? used.narrowDE : used.floorDE;
  const shines = ({ sheen = 0 }: PathSample): number => (SHEEN_DE * sheen) ** 2;
  const sheen = Math.sqrt(shines(sample) + others.reduce((sum, o) => sum + shines(o), 0) / others.length ** 2);
  const map = differenceUncertainty(off.lab, off.near, calibration, 'one paper');
  return {
    region: sample.region,
    value,
    parts: combine(repeat, Math.hypot(floor, map, off.foretold, sheen), placement),
  };
}

/** Depths between which samples lie, all but their thin ends. */
function reach(samples: readonly PathSample[], path: InkPath): { readonly from: number; readonly to: number } {
  const ends = samples.map(({ colours }) => {
    const sorted = colours
      .map(({ xyz, share }) => ({ depth: path.depthOf(xyz), share }))
      .toSorted((a, b) => a.depth - b.depth);
    return [firmEnd(sorted), firmEnd(sorted.toReversed())] as const;
  });
  return { from: Math.min(...ends.map(([from]) => from)), to: Math.max(...ends.map(([, to]) => to)) };
}

/** Depth of the first colour by which more than a thin end has passed. */
function firmEnd(sorted: readonly { readonly depth: number; readonly share: number }[]): number {
  const all = sorted.reduce((sum, { share }) => sum + share, 0);
  let passed = 0;
  return sorted.find(({ share }) => (passed += share) >= THIN_END * all)?.depth ?? 0;
}

function pointsOf({ colours, narrow }: PathSample): PathPoint[] {
  return colours.map(({ xyz, share }) => ({ xyz, weight: (share + 0.05) * (narrow ? NARROW_WEIGHT : 1) }));
}

/** With its colours where the others' begin and end. */
interface TaughtLine extends SearchedPath {
  readonly palest: LabD50;
  readonly densest: LabD50;
  readonly paper: LabD50;
}

function taughtLine(path: InkPath, { beyond }: Required<PathOptions>): TaughtLine {
  const at = (depth: number): LabD50 => xyzToLab(path.xyzAt(depth));
  return {
    ...searched(path, 0, path.to * beyond),
    palest: at(path.from),
    densest: at(path.to),
    paper: xyzToLab(path.paper),
  };
}

interface Off {
  /** Mean way off the path, in ΔE00. */
  readonly mean: LabValue;
  /** What the path's bend where no other sample lies may make of it, ΔE00. */
  readonly foretold: number;
  readonly lab: LabD50;
  readonly near: LabD50;
  readonly along: LabValue;
}

/**
 * Ink that is denser than the path reaches counts only where there is hardly other, and then by its way across the path's end: the further it lies along
 * it, the less that says.
 */
function meanOff({ colours }: PathSample, line: TaughtLine): Off | null {
  const near = colours.map(({ xyz, share }) => {
    const n = nearestOnPath(line, xyz);
    const lengthwise = dot(n.off, n.along);
    const off = n.atEnd ? triple((c) => n.off[c] - lengthwise * n.along[c]) : n.off;
    return { ...n, off, share, lengthwise: n.atEnd ? Math.abs(lengthwise) : 0, xyz };
  });
  const total = near.reduce((sum, { share }) => sum + share, 0);
  const within = near.filter(({ atEnd }) => !atEnd);
  const used = within.reduce((sum, { share }) => sum + share, 0) >= LEAST_SHARE * total ? within : near;
  const most = used.reduce<(typeof used)[number] | null>((a, b) => (a && a.share >= b.share ? a : b), null);
  if (most === null) return null;
  const shares = used.reduce((sum, { share }) => sum + share, 0);
  const mean = (of: (n: (typeof used)[number]) => number): number =>
    used.reduce((sum, n) => sum + (n.share / shares) * of(n), 0);
  return {
    mean: triple((c) => mean(({ off }) => off[c])),
    foretold: mean((n) => foretoldAt(n, line)),
    lab: xyzToLab(most.xyz),
    near: most.lab,
    along: most.along,
  };
}

/**
 * How far the path may bend where it is told off by one colour, ΔE00; 0 where other samples' colours lie. A colour that is no denser than they are by
 * its own absorbance asks for no more of the path, however far along it the nearest place lies.
 */
function foretoldAt(at: OffAtColour, { path, palest, densest, paper }: TaughtLine): number {
  const { depth, lab, lengthwise, xyz } = at;
  if (depth < path.from) return AHEAD_OF_PALEST * Math.min(deltaE2000(palest, lab), deltaE2000(paper, lab));
  if (depth <= path.to) return 0;
  const asked = Math.min(1, Math.max(0, (path.depthOf(xyz) - path.to) / (depth - path.to)));
  const { light, dark, fromL, downToL } = BEYOND_DENSEST;
  const darkness = Math.min(1, Math.max(0, (fromL - lab[0]) / (fromL - downToL)));
  return asked * (light + (dark - light) * darkness) * (deltaE2000(densest, lab) + lengthwise);
}

interface OffAtColour extends NearestOnPath {
  readonly xyz: Xyz;
  /** How far beyond the search's end, ΔE00. */
  readonly lengthwise: number;
}

/** Mean variance of the two directions across the path, ΔE00². */
function across(metric: readonly number[], covariance: readonly number[], along: LabValue): number {
  const full: number[][] = [0, 1, 2].map((p) =>
    [0, 1, 2].map((q) => {
      let sum = 0;
      for (let i = 0; i < 3; i++) {
        for (let j = 0; j < 3; j++) sum += metric[3 * p + i] * covariance[3 * i + j] * metric[3 * q + j];
      }
      return sum;
    }),
  );
  const trace = full[0][0] + full[1][1] + full[2][2];
  const lengthwise = dot(
    along,
    triple((p) =>
      dot(
        along,
        triple((q) => full[p][q]),
      ),
    ),
  );
  return (trace - lengthwise) / 2;
}

function acrossLength(metric: readonly number[], step: LabValue, along: LabValue): number {
  const v = triple((r) => metric[3 * r] * step[0] + metric[3 * r + 1] * step[1] + metric[3 * r + 2] * step[2]);
  return Math.sqrt(Math.max(0, dot(v, v) - dot(v, along) ** 2));
}

function dot(a: LabValue, b: LabValue): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}
