/**
 * The scanner's blur from one straight edge that is slightly turned against the pixels: each row crosses it at another phase,
 * so that all rows together sample the edge much finer than the pixels do.
 * Source of the idea: ISO 12233 (slanted-edge spatial frequency response); P. D. Burns 2000, "Slanted-edge MTF for digital
 * camera and scanner analysis", Proc. IS&T PICS, 135–138. Here the edge is read in linear light and also fitted by a Gaussian.
 */
import { normalSum } from '../normalCurve.ts';
import { type Homography, invertHomography, mapPoint } from '../raster/homography.ts';
import type { LinearRaster } from '../raster/raster.ts';
import { mean } from '../scatter.ts';

export interface EdgeBlur {
  /** Standard deviation of the Gaussian whose edge this is, px; the pixel's own square is in it, and the print's softness. */
  readonly sigmaPx: number;
  /** Where the modulation transfer falls to one half, cycles a pixel. */
  readonly mtf50PerPx: number;
  /** How much lighter than the light side farther off its lightest pixel is, as a share of the edge's step: 0, or what sharpening leaves. */
  readonly overshoot: number;
}

/** Share of the box left out at each rim: the dark side ends there. */
const RIM = 0.12;
/** The edge is looked at so far to either side: 0.8 mm holds three sigma of any scanner's blur, and as many pixels when they are coarse. */
const REACH_MM = 0.8;
const REACH_PX = 5;
/** Samples a pixel of the edge's profile, as ISO 12233 takes. */
const OVERSAMPLING = 4;
/** Fewer rows than this across the edge tell little. */
const FEWEST_ROWS = 12;
/** Light over dark, in linear light. */
const LEAST_CONTRAST = 1.5;
/** Share of the samples near the edge that must be filled; an edge along the pixels fills one in four. */
const LEAST_FILLED = 0.8;

/**
 * @param raster Linear signals, holding the box. @param boxMm The box with the edge through its middle, layout mm.
 * @param toPx layout mm → px of this raster (pixel centres at integer + 0.5)
 * @returns null when no clean edge is there, or it lies along the pixels so that nothing is told between them
 */
export function edgeBlur(
  raster: LinearRaster,
  boxMm: readonly [x: number, y: number, width: number, height: number],
  toPx: Homography,
): EdgeBlur | null {
  const grey = greyInBox(raster, boxMm, toPx);
  const steep = steepness(grey);
  if (steep === null) return null;
  const view = steep.acrossX ? grey : transposed(grey);
  const reach = Math.max(REACH_PX, (REACH_MM * raster.dpi) / 25.4);
  const levels = plateaus(view);
  if (levels === null) return null;
  let line: Line | null = null;
  // First the whole rows tell where the edge runs, then what is near it says so more exactly.
  for (let round = 0; round < 3; round++) {
    line = edgeLine(view, steep.rising, levels, line, reach);
    if (line === null) return null;
  }
  const profile = line && edgeProfile(view, line, steep.rising, reach);
  if (profile === null) return null;
  const sigma = gaussianEdge(profile);
  if (sigma === null) return null;
  // A bin is a box of a quarter pixel; it widens the edge a little.
  const bin = 1 / OVERSAMPLING / Math.sqrt(12);
  return {
    sigmaPx: Math.sqrt(Math.max(0, sigma ** 2 - bin ** 2)),
    mtf50PerPx: halfModulation(profile),
    overshoot: overshoot(profile),
  };
}

/** Sum of the channels; NaN outside the inner box. */
interface Grey {
  readonly data: Float64Array;
  readonly width: number;
  readonly height: number;
}

function greyInBox(raster: LinearRaster, [x, y, w, h]: Parameters<typeof edgeBlur>[1], toPx: Homography): Grey {
  const { data, widthPx: width, heightPx: height } = raster;
  const back = invertHomography(toPx);
  const grey = new Float64Array(width * height).fill(Number.NaN);
  for (let row = 0; row < height; row++) {
    for (let column = 0; column < width; column++) {
      const [u, v] = mapPoint(back, [column + 0.5, row + 0.5]);
      if (Math.abs((u - x) / w - 0.5) > 0.5 - RIM || Math.abs((v - y) / h - 0.5) > 0.5 - RIM) continue;
      const i = row * width + column;
      grey[i] = data[3 * i] + data[3 * i + 1] + data[3 * i + 2];
    }
  }
  return { data: grey, width, height };
}

/** Which way the edge is crossed: along rows when it is more upright than flat, and whether light follows dark. */
function steepness({ data, width, height }: Grey): { readonly acrossX: boolean; readonly rising: boolean } | null {
  let gx = 0;
  let gy = 0;
  for (let y = 0; y < height - 1; y++) {
    for (let x = 0; x < width - 1; x++) {
      const i = y * width + x;
      const [dx, dy] = [data[i + 1] - data[i], data[i + width] - data[i]];
      if (Number.isNaN(dx) || Number.isNaN(dy)) continue;
      gx += dx;
      gy += dy;
    }
  }
  if (gx === 0 && gy === 0) return null;
  const acrossX = Math.abs(gx) >= Math.abs(gy);
  return { acrossX, rising: (acrossX ? gx : gy) > 0 };
}

function transposed({ data, width, height }: Grey): Grey {
  const out = new Float64Array(data.length);
  for (let y = 0; y < height; y++) for (let x = 0; x < width; x++) out[x * height + y] = data[y * width + x];
  return { data: out, width: height, height: width };
}

interface Levels {
  readonly dark: number;
  readonly light: number;
}

/** Medians of the dark and of the light half. */
function plateaus({ data }: Grey): Levels | null {
  const values = data.filter((v) => !Number.isNaN(v)).sort();
  if (values.length < FEWEST_ROWS * FEWEST_ROWS) return null;
  const dark = values[Math.floor(values.length / 4)];
  const light = values[Math.floor((3 * values.length) / 4)];
  return light > LEAST_CONTRAST * dark ? { dark, light } : null;
}

/** x = at + slope · (y + 0.5), px. */
interface Line {
  readonly at: number;
  readonly slope: number;
}

/** In each row, how much of it is dark tells where the edge is: noise averages out, and blur moves as much to either side. */
function edgeLine(
  view: Grey,
  rising: boolean,
  { dark, light }: Levels,
  before: Line | null,
  reach: number,
): Line | null {
  const { data, width, height } = view;
  const points: (readonly [y: number, x: number])[] = [];
  for (let y = 0; y < height; y++) {
    const guess = before === null ? null : before.at + before.slope * (y + 0.5);
    let from = guess === null ? 0 : Math.max(0, Math.ceil(guess - reach));
    let to = guess === null ? width : Math.min(width, Math.floor(guess + reach));
    while (from < to && Number.isNaN(data[y * width + from])) from++;
    while (to > from && Number.isNaN(data[y * width + to - 1])) to--;
    if (to - from < 2 * REACH_PX - 2) continue;
    const row = data.subarray(y * width + from, y * width + to);
    const level = (v: number): number => Math.min(1.5, Math.max(-0.5, (v - dark) / (light - dark)));
    const [first, last] = [level(ends(row, 0)), level(ends(row, row.length - 3))];
    if ((rising ? first : last) > 0.3 || (rising ? last : first) < 0.7) continue;
    const lit = row.reduce((sum, v) => sum + level(v), 0);
    points.push([y + 0.5, rising ? to - lit : from + lit]);
  }
  if (points.length < FEWEST_ROWS) return null;
  const whole = lineThrough(points);
  const away = points.map(([y, x]) => Math.abs(x - whole.at - whole.slope * y));
  const typical = away.toSorted((a, b) => a - b)[away.length >> 1];
  return lineThrough(points.filter((_, i) => away[i] <= 4 * typical + 0.05));
}

function ends(row: Float64Array, from: number): number {
  return (row[from] + row[from + 1] + row[from + 2]) / 3;
}

function lineThrough(points: readonly (readonly [y: number, x: number])[]): Line {
  const n = points.length;
  const my = points.reduce((sum, p) => sum + p[0], 0) / n;
  const mx = points.reduce((sum, p) => sum + p[1], 0) / n;
  const yy = points.reduce((sum, p) => sum + (p[0] - my) ** 2, 0);
  const yx = points.reduce((sum, p) => sum + (p[0] - my) * (p[1] - mx), 0);
  const slope = yy === 0 ? 0 : yx / yy;
  return { at: mx - slope * my, slope };
}

/** The edge-spread function: mean signal by distance from the edge, dark to light, 4 samples a pixel. */
interface Profile {
  /** Of the middle of each sample, px. */
  readonly at: readonly number[];
  readonly value: readonly number[];
}

function edgeProfile({ data, width, height }: Grey, line: Line, rising: boolean, reach: number): Profile | null {
  const half = Math.round(reach * OVERSAMPLING);
  const sum = new Float64Array(2 * half);
  const count = new Float64Array(2 * half);
  const upright = (rising ? 1 : -1) / Math.hypot(1, line.slope);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      const value = data[y * width + x];
      if (Number.isNaN(value)) continue;
      const away = (x + 0.5 - line.at - line.slope * (y + 0.5)) * upright;
      const bin = Math.floor(away * OVERSAMPLING) + half;
      if (bin < 0 || bin >= 2 * half) continue;
      sum[bin] += value;
      count[bin]++;
    }
  }
  const near = count.slice(half - 2 * OVERSAMPLING, half + 2 * OVERSAMPLING);
  if (near.filter((n) => n > 0).length < LEAST_FILLED * near.length) return null;
  const filled = Array.from(count, (_, i) => i).filter((i) => count[i] > 0);
  return {
    at: filled.map((i) => (i + 0.5 - half) / OVERSAMPLING),
    value: filled.map((i) => sum[i] / count[i]),
  };
}

function overshoot({ value }: Profile): number {
  const eighth = Math.max(1, value.length >> 3);
  const [dark, light] = [mean(value.slice(0, eighth)), mean(value.slice(-eighth))];
  let lightest = light;
  for (let k = value.length >> 1; k + OVERSAMPLING <= value.length; k++) {
    lightest = Math.max(lightest, mean(value.slice(k, k + OVERSAMPLING)));
  }
  return (lightest - light) / (light - dark);
}

/** Least squares of dark + (light − dark) · Φ((t − middle)/sigma); null when no Gaussian edge is near it. */
function gaussianEdge({ at, value }: Profile): number | null {
  const lowest = 1 / OVERSAMPLING / 4;
  const highest = at[at.length - 1] / 2;
  const misfit = (sigma: number, middle: number): number => {
    // With sigma and middle held, dark and light follow by a straight line through (Φ, value).
    const phi = at.map((t) => normalSum((t - middle) / sigma));
    const n = at.length;
    const mp = phi.reduce((s, p) => s + p, 0) / n;
    const mv = value.reduce((s, v) => s + v, 0) / n;
    let pp = 0;
    let pv = 0;
    let vv = 0;
    phi.forEach((p, i) => {
      pp += (p - mp) ** 2;
      pv += (p - mp) * (value[i] - mv);
      vv += (value[i] - mv) ** 2;
    });
    return pp === 0 ? 1 : 1 - (pv * pv) / (pp * vv);
  };
  const bestMiddle = (sigma: number): number => leastAt((middle) => misfit(sigma, middle), -1, 1);
  const logSigma = leastAt(
    (log) => misfit(Math.exp(log), bestMiddle(Math.exp(log))),
    Math.log(lowest),
    Math.log(highest),
  );
  const sigma = Math.exp(logSigma);
  return misfit(sigma, bestMiddle(sigma)) < 0.02 ? sigma : null;
}

/** Golden-section search, to a thousandth of the range. */
function leastAt(f: (x: number) => number, low: number, high: number): number {
  const golden = (Math.sqrt(5) - 1) / 2;
  let [a, b] = [low, high];
  let [c, d] = [b - golden * (b - a), a + golden * (b - a)];
  let [fc, fd] = [f(c), f(d)];
  while (b - a > 1e-3 * (high - low)) {
    if (fc < fd) {
      [b, d, fd] = [d, c, fc];
      c = b - golden * (b - a);
      fc = f(c);
    } else {
      [a, c, fc] = [c, d, fd];
      d = a + golden * (b - a);
      fd = f(d);
    }
  }
  return (a + b) / 2;
}

/**
 * Line-spread function by differences, Hamming window, magnitude of its transform; the differences' and the bins' own fall
 * (a sinc each, ISO 12233 corrects the first) is taken out.
 */
function halfModulation({ at, value }: Profile): number {
  const spread = value.slice(1).map((v, i) => ({
    t: (at[i + 1] + at[i]) / 2,
    step: at[i + 1] - at[i],
    slope: v - value[i],
  }));
  const reach = at[at.length - 1] - at[0];
  const middle = (at[0] + at[at.length - 1]) / 2;
  const windowed = spread.map(({ t, step, slope }) => ({
    t,
    step,
    weight: slope * (0.54 + 0.46 * Math.cos((2 * Math.PI * (t - middle)) / reach)),
  }));
  const modulation = (f: number): number => {
    let re = 0;
    let im = 0;
    for (const { t, step, weight } of windowed) {
      const own = sinc(f * step) * sinc(f / OVERSAMPLING);
      re += (weight * Math.cos(2 * Math.PI * f * t)) / own;
      im += (weight * Math.sin(2 * Math.PI * f * t)) / own;
    }
    return Math.hypot(re, im);
  };
  const whole = modulation(0);
  let before = 1;
  const df = 0.005;
  for (let f = df; f <= 1; f += df) {
    const now = modulation(f) / whole;
    if (now < 0.5) return f - (df * (0.5 - now)) / (before - now);
    before = now;
  }
  return 1;
}

function sinc(x: number): number {
  return x === 0 ? 1 : Math.sin(Math.PI * x) / (Math.PI * x);
}
