/**
 * Strokes whose edges are known exactly: a path, two edges as functions of the way along it, hairs, a ring, an ink by
 * Beer–Lambert. Light is averaged over a grid several times finer than the scan's, blurred, made noisy and coded.
 */
import { srgbDecode, srgbEncode } from '../../analysis/colour/srgb.ts';
import { gaussianSmooth } from '../../analysis/raster/gaussian.ts';
import type { LinearRaster } from '../../analysis/raster/raster.ts';
import { normal, seededRandom } from '../../analysis/seededRandom.ts';

export type Triple = readonly [number, number, number];

export interface Stroke {
  /** Evenly spaced places along the middle, mm. */
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly stepMm: number;
  /** Distance of the edge from the middle along the normal at each place, mm: left and right of the way. */
  readonly left: Float64Array;
  readonly right: Float64Array;
  /** One a place. */
  readonly dose: Float64Array;
  readonly hairs: readonly Hair[];
}

export interface Hair {
  /** Place along the stroke. */
  readonly index: number;
  readonly side: -1 | 1;
  readonly lengthMm: number;
  readonly widthMm: number;
  /** Sideways per outward. */
  readonly slant: number;
}

export interface StrokeDrawing {
  readonly widthMm: number;
  readonly heightMm: number;
  readonly dpi: number;
  readonly paper: Triple;
  /** Absorption per unit dose (natural logarithm). */
  readonly absorption: Triple;
  readonly strokes: readonly Stroke[];
  /** A ring beyond every edge that keeps these shares of the paper's light. */
  readonly halo?: { readonly widthMm: number; readonly transmittance: Triple };
  /** Sigma of the ink's own softness: light strays in the paper. */
  readonly inkBlurMm?: number;
  readonly scannerBlurMm: number;
  /** Relative standard deviation of a pixel of the paper, and of fibres over 0.2 mm. */
  readonly noise?: number;
  readonly fibres?: number;
  /** Bits of the coded value; null: not coded. */
  readonly bits: 8 | 16 | null;
  readonly seed: number;
}

/** Linear signals as they would be read back from the scan's coded values. */
export function drawStrokes(d: StrokeDrawing): LinearRaster {
  const pxPerMm = d.dpi / 25.4;
  const w = Math.round(d.widthMm * pxPerMm);
  const h = Math.round(d.heightMm * pxPerMm);
  const factor = d.dpi >= 500 ? 5 : 8;
  const fine = new FineGrid(w * factor, h * factor, pxPerMm * factor);
  const ring = d.halo?.widthMm ?? 0;
  if (ring > 0) for (const [n, stroke] of d.strokes.entries()) fine.fillStroke(stroke, ring, n + 1);
  if (ring > 0) fine.turnIntoHalo();
  for (const [n, stroke] of d.strokes.entries()) fine.fillStroke(stroke, 0, n + 1);
  const planes = lightOf(fine, d, w, h, factor);
  const sigmaPx = Math.hypot(d.scannerBlurMm, d.inkBlurMm ?? 0) * pxPerMm;
  const random = seededRandom(d.seed * 977 + 5);
  const fibres = texture(w, h, 0.2 * pxPerMm, random);
  const data = new Float32Array(3 * w * h);
  for (const [c, plane] of planes.entries()) {
    const seen = sigmaPx > 0.05 ? gaussianSmooth(plane, w, h, sigmaPx) : plane;
    for (let i = 0; i < w * h; i++) {
      const light = seen[i] * (1 + (d.fibres ?? 0) * fibres[i]) + noiseOf(seen[i], d) * normal(random);
      data[3 * i + c] = d.bits === null ? light : coded(light, d.bits);
    }
  }
  return { data, widthPx: w, heightPx: h, dpi: d.dpi, originPx: [0, 0], clipped: new Uint8Array(w * h) };
}

/** Photons scatter with the root of the light. */
function noiseOf(light: number, d: StrokeDrawing): number {
  return (d.noise ?? 0) * Math.sqrt(Math.max(0.01, light));
}

/** Light as it is read back from a coded value. */
export function coded(light: number, bits: 8 | 16): number {
  const top = 2 ** bits - 1;
  return srgbDecode(Math.min(top, Math.max(0, Math.round(top * srgbEncode(light)))) / top);
}

function lightOf(fine: FineGrid, d: StrokeDrawing, w: number, h: number, factor: number): Float32Array[] {
  const share = 1 / (factor * factor);
  return ([0, 1, 2] as const).map((c) => {
    const plane = new Float32Array(w * h);
    const ring = d.halo?.transmittance[c] ?? 1;
    // Doses change from place to place along a stroke, seldom from cell to cell.
    let last = 0;
    let lastKept = 1;
    for (let y = 0; y < h; y++) {
      for (let x = 0; x < w; x++) {
        let kept = 0;
        for (let v = 0; v < factor; v++) {
          const from = (y * factor + v) * w * factor + x * factor;
          for (let cell = from; cell < from + factor; cell++) {
            const dose = fine.dose[cell];
            if (dose === 0) {
              kept += fine.halo[cell] === 1 ? ring : 1;
              continue;
            }
            if (dose !== last) {
              last = dose;
              lastKept = Math.exp(-d.absorption[c] * dose);
            }
            kept += lastKept;
          }
        }
        plane[y * w + x] = share * d.paper[c] * kept;
      }
    }
    return plane;
  });
}

function texture(w: number, h: number, sigmaPx: number, random: () => number): Float32Array {
  const white = Float32Array.from({ length: w * h }, () => normal(random));
  const smooth = gaussianSmooth(white, w, h, Math.max(0.6, sigmaPx));
  const sd = Math.sqrt(smooth.reduce((s, v) => s + v * v, 0) / smooth.length);
  return smooth.map((v) => v / sd);
}

type Corner = readonly [x: number, y: number];

class FineGrid {
  readonly dose: Float32Array;
  readonly halo: Uint8Array;
  /** Stroke that painted a cell last: one stroke's own pieces do not add up. */
  readonly owner: Int16Array;
  private readonly w: number;
  private readonly h: number;
  private readonly perMm: number;

  constructor(w: number, h: number, perMm: number) {
    this.w = w;
    this.h = h;
    this.perMm = perMm;
    this.dose = new Float32Array(w * h);
    this.halo = new Uint8Array(w * h);
    this.owner = new Int16Array(w * h);
  }

  /** What is painted so far is where rings may show. */
  turnIntoHalo(): void {
    for (let i = 0; i < this.owner.length; i++) this.halo[i] = this.owner[i] > 0 ? 1 : 0;
    this.owner.fill(0);
    this.dose.fill(0);
  }

  fillStroke(s: Stroke, grownMm: number, owner: number): void {
    const n = s.x.length;
    const edge = (i: number, side: -1 | 1): Corner => {
      const [nx, ny] = normalAt(s, i);
      const away = (side < 0 ? s.left[i] : s.right[i]) + grownMm;
      return [s.x[i] + side * away * nx, s.y[i] + side * away * ny];
    };
    for (let i = 0; i + 1 < n; i++) {
      this.paint([edge(i, -1), edge(i + 1, -1), edge(i + 1, 1), edge(i, 1)], s.dose[i], owner);
    }
    for (const end of [0, n - 1]) this.paint(capAt(s, end, grownMm), s.dose[end], owner);
    for (const hair of s.hairs) this.paint(hairAt(s, hair, grownMm), s.dose[hair.index], owner);
  }

  /** A polygon by its cells' centres, even-odd. */
  private paint(corners: readonly Corner[], dose: number, owner: number): void {
    const px = corners.map(([x, y]) => [x * this.perMm - 0.5, y * this.perMm - 0.5] as const);
    const from = Math.max(0, Math.ceil(Math.min(...px.map((p) => p[1]))));
    const to = Math.min(this.h - 1, Math.floor(Math.max(...px.map((p) => p[1]))));
    for (let y = from; y <= to; y++) {
      const cuts: number[] = [];
      for (let k = 0; k < px.length; k++) {
        const a = px[k];
        const b = px[(k + 1) % px.length];
        if (a[1] <= y === b[1] <= y) continue;
        cuts.push(a[0] + ((y - a[1]) / (b[1] - a[1])) * (b[0] - a[0]));
      }
      cuts.sort((a, b) => a - b);
      for (let k = 0; k + 1 < cuts.length; k += 2) {
        for (let x = Math.max(0, Math.ceil(cuts[k])); x <= Math.min(this.w - 1, Math.floor(cuts[k + 1])); x++) {
          const cell = y * this.w + x;
          if (this.owner[cell] === owner) continue;
          this.owner[cell] = owner;
          this.dose[cell] += dose;
        }
      }
    }
  }
}

/** To the right of the way, y pointing down. */
export function normalAt(s: Stroke, i: number): Corner {
  const a = Math.max(0, i - 1);
  const b = Math.min(s.x.length - 1, i + 1);
  const dx = s.x[b] - s.x[a];
  const dy = s.y[b] - s.y[a];
  const length = Math.hypot(dx, dy) || 1;
  return [-dy / length, dx / length];
}

function capAt(s: Stroke, i: number, grownMm: number): Corner[] {
  const radius = (s.left[i] + s.right[i]) / 2 + grownMm;
  return Array.from({ length: 48 }, (_, k): Corner => {
    const angle = (2 * Math.PI * k) / 48;
    return [s.x[i] + radius * Math.cos(angle), s.y[i] + radius * Math.sin(angle)];
  });
}

/** From inside the line to its tip, where it keeps four tenths of its breadth. */
function hairAt(s: Stroke, hair: Hair, grownMm: number): Corner[] {
  const [nx, ny] = normalAt(s, hair.index);
  const root = hair.side < 0 ? s.left[hair.index] : s.right[hair.index];
  const at = (out: number, along: number): Corner => {
    const sideways = along + hair.slant * Math.max(0, out);
    return [
      s.x[hair.index] + hair.side * (root + out) * nx + sideways * ny,
      s.y[hair.index] + hair.side * (root + out) * ny - sideways * nx,
    ];
  };
  const half = hair.widthMm / 2 + grownMm;
  const tip = hair.lengthMm + grownMm;
  const narrow = 0.4 * (hair.widthMm / 2) + grownMm;
  return [at(-0.5 * root, -half), at(0, -half), at(tip, -narrow), at(tip, narrow), at(0, half), at(-0.5 * root, half)];
}
