/** From what was found to what a picture and a plot show, thinned out to a bounded size. */
import { signalsToXyz } from '../../calibrate/apply.ts';
import { xyzToLab } from '../../colour/lab.ts';
import type { RegionInput } from '../region.ts';
import { type Across, fittedContrast } from './across.ts';
import type { EdgeDetail, EdgeHair, EdgeLine, EdgeProfile, EdgeWhisker, PlacePx } from './edgeDetail.ts';
import { ringLab } from './edgeQuantities.ts';
import type { FoundEdge, FoundEdges, FoundStroke } from './foundEdges.ts';
import { howMany } from './hairs.ts';
import type { EdgeSide } from './lineEdges.ts';
import { SIGMAS_10_70, SIGMAS_10_90 } from '../../normalCurve.ts';
import type { StrokeEdges } from './strokeEdges.ts';

/** Places on all edges together, whiskers and hairs at most. */
const MOST_PLACES = 6000;
const MOST_WHISKERS = 240;
const MOST_HAIRS = 400;

/** @param scannerSigmaPx null: no target told the scanner's blur. @returns places in px of the region, lengths in mm */
export function describeEdges(
  found: FoundEdges,
  input: RegionInput,
  pxPerMm: number,
  scannerSigmaPx: number | null,
): EdgeDetail {
  const { across } = found;
  const { ring } = across;
  return {
    edges: edgeLines(found),
    whiskers: whiskers(found, pxPerMm),
    hairs: hairs(found, pxPerMm),
    halo: ring && {
      fromMm: 0,
      toMm: ring.widthPx / pxPerMm,
      lab: ringLab(ring.ratio, input),
      paperLab: input.bare!.lab,
    },
    profile: profileOf(across, input, pxPerMm, scannerSigmaPx),
  };
}

function shown(x: number, y: number): PlacePx {
  return [rounded(x), rounded(y)];
}

/** Pixel centres lie at whole numbers where edges are found, at halves in a picture. */
function rounded(at: number): number {
  return Math.round(100 * (at + 0.5)) / 100;
}

function placeOf({ line }: StrokeEdges, i: number, away: number): PlacePx {
  return shown(line.x[i] + away * line.nx[i], line.y[i] + away * line.ny[i]);
}

function edgeLines(found: FoundEdges): EdgeLine[] {
  let stations = 0;
  for (const { counted } of found.strokes) stations += counted.length;
  const stride = Math.max(1, Math.ceil((2 * stations) / MOST_PLACES));
  const lines: EdgeLine[] = [];
  for (const { stroke, left, right } of found.strokes) {
    addLines(lines, stroke, left.side, stride);
    addLines(lines, stroke, right.side, stride);
  }
  return lines;
}

/** Every so many stations of one edge, in as many lines as it is broken into. */
function addLines(lines: EdgeLine[], stroke: StrokeEdges, { side, away }: EdgeSide, stride: number): void {
  const { line, single } = stroke;
  let points: number[] = [];
  for (let i = 0; i <= away.length; i++) {
    const isBroken = i === away.length || single[i] === 0 || Number.isNaN(away[i]);
    if (isBroken && points.length >= 4) lines.push({ points });
    if (isBroken && points.length > 0) points = [];
    if (isBroken || i % stride !== 0) continue;
    const by = side * away[i];
    points.push(rounded(line.x[i] + by * line.nx[i]), rounded(line.y[i] + by * line.ny[i]));
  }
}

function whiskers(found: FoundEdges, pxPerMm: number): EdgeWhisker[] {
  let total = 0;
  for (const { counted } of found.strokes) total += howMany(counted);
  const every = Math.max(Math.round(0.4 * pxPerMm), Math.ceil(total / MOST_WHISKERS));
  const out: EdgeWhisker[] = [];
  let passed = 0;
  for (const stroke of found.strokes) passed = addWhiskers(out, stroke, passed, every, pxPerMm);
  return out;
}

/** @param before Stations that count of the strokes before. @returns with those of this one */
function addWhiskers(
  out: EdgeWhisker[],
  { stroke, left, right, counted }: FoundStroke,
  before: number,
  every: number,
  pxPerMm: number,
): number {
  let passed = before;
  for (let i = 0; i < counted.length; i++) {
    if (counted[i] === 0 || passed++ % every !== 0) continue;
    const l = left.side.away[i];
    const r = right.side.away[i];
    out.push({ from: placeOf(stroke, i, -l), to: placeOf(stroke, i, r), widthMm: (l + r) / pxPerMm });
  }
  return passed;
}

function hairs(found: FoundEdges, pxPerMm: number): EdgeHair[] {
  const all = found.strokes.flatMap(({ left, right }) => [left, right].flatMap((edge: FoundEdge) => edge.hairs));
  return all
    .toSorted((a, b) => b.lengthPx - a.lengthPx)
    .slice(0, MOST_HAIRS)
    .map(({ from, to, lengthPx }) => ({ from: shown(...from), to: shown(...to), lengthMm: lengthPx / pxPerMm }));
}

function profileOf(across: Across, input: RegionInput, pxPerMm: number, scannerSigmaPx: number | null): EdgeProfile {
  const { profile, fit, sigmaPx } = across;
  const most = Math.max(...profile.counts);
  const places = [...profile.atPx.keys()].filter((k) => profile.counts[k] > 0.1 * most);
  const core = fit.ink[3];
  const paper = input.bare!.signal;
  const signals = Float32Array.from({ length: 3 * places.length }, (_, i) =>
    Math.max(0, profile.channels[i % 3][places[Math.floor(i / 3)]] * paper[i % 3]),
  );
  signalsToXyz(signals, input.calibration, signals);
  const model = fittedContrast(across);
  const fitted = new Map(model.values.map((v, k) => [model.at[k], v / core]));
  return {
    // From the ink's own edge, which is not the crossing where a ring stands.
    distanceMm: places.map((k) => (profile.atPx[k] - fit.edgePx) / pxPerMm),
    contrast: places.map((k) => profile.contrast[k] / core),
    fitted: places.every((k) => fitted.has(profile.atPx[k])) ? places.map((k) => fitted.get(profile.atPx[k])!) : null,
    lab: places.map((_, j) => xyzToLab([signals[3 * j], signals[3 * j + 1], signals[3 * j + 2]])),
    scannedBlurMm: (SIGMAS_10_90 * sigmaPx) / pxPerMm,
    blur70Mm: (SIGMAS_10_70 * sigmaPx) / pxPerMm,
    scannerBlurMm: scannerSigmaPx === null ? null : (SIGMAS_10_90 * scannerSigmaPx) / pxPerMm,
  };
}
