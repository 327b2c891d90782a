/**
 * What a printed mark lets through, as a function of the distance from its middle: medians over everywhere it lies bare.
 * Divided by it, a region shows paper where the mark was, and ink on the mark stays as dense as beside it.
 */
import { triple } from '../triple.ts';

/** How far across a mark is looked at, mm: the broadest rule or dot, its blur, and some paper beside it. */
export const PRINT_REACH_MM = 0.65;
const BINS_PER_PX = 2;
/** Marks whose middle half is broader than this are no rule or dot, mm. */
const BROADEST_MM = 0.75;
/** Bins with fewer samples take their neighbours' word. */
const LEAST_SAMPLES = 5;
/** Where less than this share of a mark's depth is left, it has ended. */
const FAINTEST = 0.04;

export interface PrintProfile {
  /** First and last offset from the middle, px, that the mark changes. */
  readonly from: number;
  readonly to: number;
  /** Share of light that it takes at its middle, mean over the channels. */
  readonly depth: number;
  /** Its breadth where half of that is left, px. */
  readonly breadthPx: number;
  /** Transmittance and its scatter (relative standard deviation), 3 a bin, from `from` on. */
  readonly through: Float32Array;
  readonly scatter: Float32Array;
}

/** Samples of signal over paper by offset. */
export class OffsetSamples {
  private readonly bins: number[][];
  /** Sum of the offsets in each bin. */
  private readonly offsets: Float64Array;
  readonly reachPx: number;

  constructor(reachPx: number) {
    this.reachPx = reachPx;
    this.bins = Array.from({ length: 3 * (Math.ceil(2 * reachPx * BINS_PER_PX) + 1) }, () => []);
    this.offsets = new Float64Array(this.bins.length / 3);
  }

  /** @param i First of the three channels in `ratio`. */
  add(offsetPx: number, ratio: Float32Array, i: number): void {
    const bin = Math.round((offsetPx + this.reachPx) * BINS_PER_PX);
    this.offsets[bin] += offsetPx;
    for (let c = 0; c < 3; c++) this.bins[3 * bin + c]?.push(ratio[i + c]);
  }

  /** How far the samples lie from their bins' middles, px: a rule that runs along the raster meets each bin at one place alone. */
  private lean(): number {
    let sum = 0;
    let samples = 0;
    for (const [b, offset] of this.offsets.entries()) {
      const count = this.bins[3 * b].length;
      sum += offset - count * (b / BINS_PER_PX - this.reachPx);
      samples += count;
    }
    return samples === 0 ? 0 : sum / samples;
  }

  /** Null when there is no mark here, or none so narrow. @param noise Relative, per channel, of bare paper. */
  profile(pxPerMm: number, noise: readonly number[]): PrintProfile | null {
    const count = this.bins.length / 3;
    const levels = this.bins.map((values) => (values.length >= LEAST_SAMPLES ? medianOf(values) : NaN));
    const scatters = this.bins.map((values, k) =>
      values.length >= LEAST_SAMPLES ? 1.4826 * medianOf(values.map((v) => Math.abs(v / levels[k] - 1))) : NaN,
    );
    // A rule that runs along the raster meets some offsets only, and seldom a bin's middle.
    const lean = this.lean();
    const places = Array.from(
      this.offsets,
      (sum, b) => (sum / this.bins[3 * b].length + this.reachPx - lean) * BINS_PER_PX,
    );
    bridge(levels, places);
    bridge(scatters, places);
    const outer = triple((c) => {
      const beside: number[] = [];
      for (let b = 0; b < count; b++) {
        const offset = Math.abs(b / BINS_PER_PX - this.reachPx);
        if (offset > 0.8 * this.reachPx && levels[3 * b + c] > 0) beside.push(levels[3 * b + c]);
      }
      return beside.length === 0 ? 1 : medianOf(beside);
    });
    const lost = Array.from({ length: count }, (_, b) => {
      const sum = [0, 1, 2].reduce((s, c) => s + 1 - levels[3 * b + c] / outer[c], 0) / 3;
      return Number.isFinite(sum) ? sum : 0;
    });
    const middle = Math.round(this.reachPx * BINS_PER_PX);
    let top = middle;
    for (let b = 0; b < count; b++)
      if (Math.abs(b - middle) < 0.25 * pxPerMm * BINS_PER_PX && lost[b] > lost[top]) top = b;
    const depth = lost[top];
    if (!(depth > 0.004)) return null;
    const half = 1 + reached(lost, top, -1, 0.5 * depth) + reached(lost, top, 1, 0.5 * depth);
    if (half > BROADEST_MM * pxPerMm * BINS_PER_PX) return null;
    const edge = Math.max(0.003, FAINTEST * depth);
    const first = Math.max(0, top - reached(lost, top, -1, edge) - 1);
    const last = Math.min(count - 1, top + reached(lost, top, 1, edge) + 1);
    const through = new Float32Array(3 * (last - first + 1));
    const scatter = new Float32Array(through.length);
    for (let b = first; b <= last; b++) {
      for (let c = 0; c < 3; c++) {
        const at = 3 * (b - first) + c;
        through[at] = Math.max(0.02, levels[3 * b + c] / outer[c]);
        scatter[at] = Math.max(noise[c], scatters[3 * b + c]);
      }
    }
    const breadthPx = half / BINS_PER_PX;
    return {
      depth,
      breadthPx,
      from: first / BINS_PER_PX - this.reachPx + lean,
      to: last / BINS_PER_PX - this.reachPx + lean,
      through,
      scatter,
    };
  }
}

/** Each of three interleaved channels at the bins' middles, from where its samples lie; NaN: none; beyond the first and the last it is held. */
function bridge(values: number[], places: readonly number[]): void {
  for (let c = 0; c < 3; c++) {
    const known = places.flatMap((at, b) =>
      Number.isNaN(values[3 * b + c]) ? [] : [[at, values[3 * b + c]] as const],
    );
    if (known.length === 0) continue;
    let next = 0;
    for (let b = 0; b < places.length; b++) {
      while (next < known.length && known[next][0] < b) next++;
      const [from, before] = known[Math.max(0, next - 1)];
      const [to, after] = known[Math.min(known.length - 1, next)];
      values[3 * b + c] = to > from ? before + ((after - before) * (b - from)) / (to - from) : after;
    }
  }
}

/** Bins from `top` outwards that stay above a level. */
function reached(lost: readonly number[], top: number, step: -1 | 1, level: number): number {
  let n = 0;
  while (lost[top + step * (n + 1)] > level) n++;
  return n;
}

/** Between the bins on either side; 1 (or 0 for `scatter`) beyond the mark. */
export function profileAt(
  profile: PrintProfile,
  of: 'through' | 'scatter',
  offsetPx: number,
  out: number[] | Float64Array,
): boolean {
  const at = (offsetPx - profile.from) * BINS_PER_PX;
  const values = profile[of];
  const last = values.length / 3 - 1;
  if (!(at >= 0) || at > last) return false;
  const bin = Math.min(last - 1, Math.floor(at));
  const part = at - bin;
  for (let c = 0; c < 3; c++) out[c] = values[3 * bin + c] + (values[3 * bin + 3 + c] - values[3 * bin + c]) * part;
  return true;
}

function medianOf(values: number[]): number {
  const sorted = Float32Array.from(values).sort();
  return sorted[sorted.length >> 1];
}
