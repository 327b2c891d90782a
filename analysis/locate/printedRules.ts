/**
 * Rules, squares and dots that a page was sold with, taken off a region before its ink is looked for: found by their
 * regular place and evenness (never by a colour that the ink might share), then divided out.
 */
import { type DarknessMap, mapNoise, transposed } from './darknessMap.ts';
import { type DotGrid, dotCentres, printedDots } from './printedDots.ts';
import { combGaps, inStep, onComb, pitchOf } from './ruleComb.ts';
import { type LinePath, printedLines, robustParabola, valueAt } from './printedLines.ts';
import { OffsetSamples, PRINT_REACH_MM, type PrintProfile, profileAt } from './printProfile.ts';
import { upperMedian } from '../quantile.ts';

interface Size {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly dpi: number;
}

export interface PrintFound {
  readonly rules: number;
  readonly dots: number;
}

/** Along and across a rule, as steps through the raster. */
interface Axes {
  readonly along: number;
  readonly across: number;
  readonly length: number;
  readonly breadth: number;
}

interface PrintedLine {
  readonly path: LinePath['coefficients'];
  readonly profile: PrintProfile;
  /** Told from places without writing. */
  readonly isBare: boolean;
}

/** What differs from the print's own mean by less than this many standard deviations is print, not ink. */
const PRINT_SIGMAS = 4.5;
const SEGMENT_MM = 3;
/** What is paler than this share of a rule's darkest row says nothing of where its middle lies. */
const FAINT_SHARE = 0.05;
/** A rule tells its own profile where so much of it lies bare: this share of its length, or this much, mm, if that is less. */
const BARE_SHARE = 0.15;
const BARE_MM = 2.5;

/** Divides print out of a ratio (signal over paper, 3 a pixel), in place. Null when there is none. @param pixels The ratio, which is not asked for where nothing looks like print. @param map Of this ratio. @param touched Gets a 1 wherever print was. */
export function takeOffPrint(
  pixels: () => Float32Array,
  size: Size,
  map: DarknessMap,
  pixelNoise: readonly number[],
  touched: Uint8Array | null = null,
): PrintFound | null {
  const noise = mapNoise(map);
  const { widthPx: w, heightPx: h } = size;
  const flat: Axes = { along: 1, across: w, length: w, breadth: h };
  const upright: Axes = { along: w, across: 1, length: h, breadth: w };
  const rows = linesOf(pixels, map, noise, flat, size, pixelNoise);
  const columns = linesOf(pixels, transposed(map), noise, upright, size, pixelNoise);
  const lines = [...rows.map((line) => ({ line, axes: flat })), ...columns.map((line) => ({ line, axes: upright }))];
  if (lines.length > 0) {
    const ratio = pixels();
    for (const { line, axes } of lines) eachOnLine(line, axes, (i, through) => divide(ratio, i, through), 'through');
    undoCrossings(ratio, rows, columns, size);
    for (const { line, axes } of lines) eachOnLine(line, axes, (i, by) => settle(ratio, i, by, touched), 'scatter');
    return { rules: lines.length, dots: 0 };
  }
  const grid = printedDots(map, noise);
  if (grid === null) return null;
  const ratio = pixels();
  const profile = dotProfile(ratio, grid, size, pixelNoise);
  if (profile === null) return null;
  eachOnDots(grid, profile, size, (i, through) => divide(ratio, i, through), 'through');
  eachOnDots(grid, profile, size, (i, by) => settle(ratio, i, by, touched), 'scatter');
  return { rules: 0, dots: grid.seen };
}

function divide(ratio: Float32Array, i: number, through: ArrayLike<number>): void {
  for (let c = 0; c < 3; c++) ratio[i + c] /= through[c];
}

/** Print that is merely a little uneven becomes paper. */
function settle(ratio: Float32Array, i: number, scatter: ArrayLike<number>, touched: Uint8Array | null): void {
  if (touched) touched[i / 3] = 1;
  for (let c = 0; c < 3; c++) if (Math.abs(ratio[i + c] - 1) > PRINT_SIGMAS * scatter[c]) return;
  for (let c = 0; c < 3; c++) ratio[i + c] = 1;
}

function linesOf(
  pixels: () => Float32Array,
  map: DarknessMap,
  noise: number,
  axes: Axes,
  size: Size,
  pixelNoise: readonly number[],
): PrintedLine[] {
  const pxPerMm = size.dpi / 25.4;
  const coarse = printedLines(map, noise);
  if (coarse.length === 0) return [];
  const ratio = pixels();
  const lines = inStep(coarse.map((line) => refined(ratio, line.coefficients, axes, pxPerMm))).flatMap((path) => {
    const line = lineAlong(ratio, path, axes, pxPerMm, pixelNoise);
    return line === null ? [] : [line];
  });
  const comb = onComb(lines.map((line) => line.path));
  if (isLaid(lines)) return [];
  const found = lines.filter((line) => comb.has(line.path) || !isPenStroke(line.profile, pxPerMm));
  const reach = PRINT_REACH_MM * pxPerMm;
  const missing = combGaps(
    found.map((line) => line.path),
    [-reach, axes.breadth + reach],
  ).flatMap((path) => {
    // One that runs out of the region, or that writing covers: only its place is known, the pixels say whether it is there.
    const line = lineAlong(ratio, path, axes, pxPerMm, pixelNoise);
    const usual = upperMedian(
      found.map(({ profile }) => profile.depth),
      0,
    );
    return line === null || line.profile.depth < 0.4 * usual || line.profile.depth > 2.5 * usual ? [] : [line];
  });
  return lentProfiles([...found, ...missing]);
}

/** What writing covers would be divided by the writing: it takes the word of the bare ones, which one press drew. */
function lentProfiles(lines: readonly PrintedLine[]): PrintedLine[] {
  const bare = lines.filter((line) => line.isBare).toSorted((a, b) => a.profile.depth - b.profile.depth);
  if (bare.length === 0) return [...lines];
  const { profile } = bare[bare.length >> 1];
  return lines.map((line) => (line.isBare ? line : { ...line, profile }));
}

/** A line off any pitch that is so broad and so dark was drawn with a pen and a ruler: presses draw rules finer or paler. Common practice, no source. */
const PEN_MM = 0.28;
const PEN_DEPTH = 0.35;

function isPenStroke({ breadthPx, depth }: PrintProfile, pxPerMm: number): boolean {
  return breadthPx >= PEN_MM * pxPerMm && depth >= PEN_DEPTH;
}

/**
 * Of their pitch the lines of laid paper take half, rules of the finest squares a fifth. Taken for rules, paper would be what lies between them. Common practice,
 * no source.
 */
const LAID_SHARE = 0.35;

function isLaid(lines: readonly PrintedLine[]): boolean {
  const pitch = pitchOf(lines.map((line) => line.path));
  const breadth = upperMedian(
    lines.map(({ profile }) => profile.breadthPx),
    0,
  );
  return pitch !== null && breadth > LAID_SHARE * pitch;
}

/** The middle of the rule to a fraction of a pixel, segment by segment. */
function refined(
  ratio: Float32Array,
  coarse: LinePath['coefficients'],
  axes: Axes,
  pxPerMm: number,
): LinePath['coefficients'] {
  const count = Math.max(6, Math.floor(axes.length / (SEGMENT_MM * pxPerMm)));
  const reach = Math.max(2, Math.round(0.4 * pxPerMm));
  const middles: { t: number; across: number; mass: number }[] = [];
  for (let s = 0; s < count; s++) {
    const from = Math.floor((s * axes.length) / count);
    const to = Math.floor(((s + 1) * axes.length) / count);
    const t = (from + to) / axes.length - 1;
    const rows: number[][] = Array.from({ length: 2 * reach + 1 }, () => []);
    const middle = Math.floor(valueAt(coarse, t));
    if (middle - reach - 2 < 0 || middle + reach + 2 >= axes.breadth) continue;
    const slope = (2 * (coarse[1] + 2 * coarse[2] * t)) / axes.length;
    for (let a = from; a < to; a += 2) {
      // Rows follow the slope by whole pixels; what is left is even over the segment.
      const shift = Math.round(slope * (a - (from + to) / 2));
      for (let k = -reach; k <= reach; k++) {
        const i = 3 * (a * axes.along + (middle + shift + k) * axes.across);
        rows[k + reach].push(3 - ratio[i] - ratio[i + 1] - ratio[i + 2]);
      }
    }
    const levels = rows.map((row) => upperMedian(row, 0));
    const ground = Math.min(levels[0], levels[2 * reach]);
    // Paper far from the rule would pull its middle by its distance: one step of eight bits by a tenth of a pixel.
    const faint = ground + FAINT_SHARE * (Math.max(...levels) - ground);
    let mass = 0;
    let moment = 0;
    for (const [k, level] of levels.entries()) {
      const own = Math.max(0, level - faint);
      mass += own;
      moment += own * k;
    }
    if (mass > 0) middles.push({ t, across: middle - reach + moment / mass + 0.5, mass });
  }
  const usual = upperMedian(
    middles.map((m) => m.mass),
    0,
  );
  const clear = middles.filter((m) => m.mass < 1.5 * usual && m.mass > 0.6 * usual);
  return clear.length < 4 ? coarse : robustParabola(clear);
}

function lineAlong(
  ratio: Float32Array,
  path: LinePath['coefficients'],
  axes: Axes,
  pxPerMm: number,
  pixelNoise: readonly number[],
): PrintedLine | null {
  const reach = PRINT_REACH_MM * pxPerMm;
  const bareOnly = new OffsetSamples(reach);
  const all = new OffsetSamples(reach);
  let bare = 0;
  for (let a = 0; a < axes.length; a++) {
    const middle = valueAt(path, (2 * (a + 0.5)) / axes.length - 1);
    const from = Math.max(0, Math.ceil(middle - reach - 0.5));
    const to = Math.min(axes.breadth - 1, Math.floor(middle + reach - 0.5));
    if (to < from) continue;
    // Paper on both sides: nothing is written here.
    const bareHere = [from, from + 1, to - 1, to].every((s) =>
      isPaper(ratio, 3 * (a * axes.along + s * axes.across), pixelNoise),
    );
    if (bareHere) bare++;
    const into = bareHere ? bareOnly : all;
    for (let s = from; s <= to; s++) into.add(s + 0.5 - middle, ratio, 3 * (a * axes.along + s * axes.across));
  }
  const isBare = bare > Math.min(BARE_SHARE * axes.length, BARE_MM * pxPerMm);
  const profile = (isBare ? bareOnly : all).profile(pxPerMm, pixelNoise);
  return profile && { path, profile, isBare };
}

function isPaper(ratio: Float32Array, i: number, noise: readonly number[]): boolean {
  for (let c = 0; c < 3; c++) if (1 - ratio[i + c] > 0.02 + 3 * noise[c]) return false;
  return true;
}

type AtPixel = (i: number, values: Float64Array) => void;

function eachOnLine(line: PrintedLine, axes: Axes, act: AtPixel, of: 'through' | 'scatter'): void {
  const values = new Float64Array(3);
  for (let a = 0; a < axes.length; a++) {
    const middle = valueAt(line.path, (2 * (a + 0.5)) / axes.length - 1);
    const from = Math.max(0, Math.ceil(middle + line.profile.from - 0.5));
    const to = Math.min(axes.breadth - 1, Math.floor(middle + line.profile.to - 0.5));
    for (let s = from; s <= to; s++) {
      if (profileAt(line.profile, of, s + 0.5 - middle, values)) act(3 * (a * axes.along + s * axes.across), values);
    }
  }
}

/**
 * Where rules cross, a press lays one layer or two: how much of the second division was wrong is told by the crossings
 * themselves (0: two layers, 1: one) and taken back.
 */
function undoCrossings(
  ratio: Float32Array,
  rows: readonly PrintedLine[],
  columns: readonly PrintedLine[],
  { widthPx: w, heightPx: h }: Size,
): void {
  const paler = (row: PrintedLine, column: PrintedLine, x: number, y: number, out: Float64Array): boolean => {
    const a = new Float64Array(3);
    const b = new Float64Array(3);
    const dy = y + 0.5 - valueAt(row.path, (2 * (x + 0.5)) / w - 1);
    const dx = x + 0.5 - valueAt(column.path, (2 * (y + 0.5)) / h - 1);
    if (!profileAt(row.profile, 'through', dy, a) || !profileAt(column.profile, 'through', dx, b)) return false;
    for (let c = 0; c < 3; c++) out[c] = Math.max(a[c], b[c]);
    return true;
  };
  const shares: number[] = [];
  const crossings: { row: PrintedLine; column: PrintedLine; x: number; y: number }[] = [];
  const over = new Float64Array(3);
  for (const row of rows) {
    for (const column of columns) {
      // Nearly upright on each other: two rounds find where they meet.
      let [x, y] = [w / 2, h / 2];
      for (let round = 0; round < 3; round++) {
        y = valueAt(row.path, (2 * x) / w - 1);
        x = valueAt(column.path, (2 * y) / h - 1);
      }
      const [px, py] = [Math.floor(x), Math.floor(y)];
      if (px < 0 || py < 0 || px >= w || py >= h) continue;
      crossings.push({ row, column, x: px, y: py });
      if (!paler(row, column, px, py, over)) continue;
      const i = 3 * (py * w + px);
      const excess = Math.log(Math.max(0.1, ratio[i] * ratio[i + 1] * ratio[i + 2]));
      const most = -Math.log(over[0] * over[1] * over[2]);
      if (most > 0.01) shares.push(excess / most);
    }
  }
  const share = Math.min(1, Math.max(0, upperMedian(shares, 0)));
  if (share === 0) return;
  for (const { row, column, x, y } of crossings) {
    const reachX = Math.ceil(Math.max(-column.profile.from, column.profile.to)) + 1;
    const reachY = Math.ceil(Math.max(-row.profile.from, row.profile.to)) + 1;
    for (let v = Math.max(0, y - reachY); v <= Math.min(h - 1, y + reachY); v++) {
      for (let u = Math.max(0, x - reachX); u <= Math.min(w - 1, x + reachX); u++) {
        if (!paler(row, column, u, v, over)) continue;
        for (let c = 0; c < 3; c++) ratio[3 * (v * w + u) + c] *= over[c] ** share;
      }
    }
  }
}

function dotProfile(ratio: Float32Array, grid: DotGrid, size: Size, noise: readonly number[]): PrintProfile | null {
  const samples = new OffsetSamples(PRINT_REACH_MM * (size.dpi / 25.4));
  // To either side alike: a dot is round.
  eachAround(grid, samples.reachPx, size, (i, offset) => {
    samples.add(offset, ratio, i);
    samples.add(-offset, ratio, i);
  });
  return samples.profile(size.dpi / 25.4, noise);
}

function eachOnDots(grid: DotGrid, profile: PrintProfile, size: Size, act: AtPixel, of: 'through' | 'scatter'): void {
  const values = new Float64Array(3);
  eachAround(grid, profile.to, size, (i, offset) => {
    if (profileAt(profile, of, Math.max(offset, profile.from), values)) act(i, values);
  });
}

/** Every pixel within `reach` of a dot's middle, with its distance from it. */
function eachAround(
  grid: DotGrid,
  reach: number,
  { widthPx: w, heightPx: h }: Size,
  act: (i: number, offset: number) => void,
): void {
  for (const [cx, cy] of dotCentres(grid, w, h)) {
    for (let y = Math.max(0, Math.ceil(cy - reach - 0.5)); y <= Math.min(h - 1, cy + reach); y++) {
      for (let x = Math.max(0, Math.ceil(cx - reach - 0.5)); x <= Math.min(w - 1, cx + reach); x++) {
        const offset = Math.hypot(x + 0.5 - cx, y + 0.5 - cy);
        if (offset <= reach) act(3 * (y * w + x), offset);
      }
    }
  }
}
