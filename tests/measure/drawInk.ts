/**
 * Ink drawn with exact doses for tests: an independent, small renderer. Lines with round ends, doses that may change along
 * them, layers that add where lines cross; Beer–Lambert over a paper, averaged 4 × 4 per pixel, blurred, with noise.
 */
import type { PaperSurface } from '../../analysis/locate/paperSurface.ts';
import type { LinearRaster } from '../../analysis/raster/raster.ts';
import { gaussianSmooth } from '../../analysis/raster/gaussian.ts';
import { normal, seededRandom } from '../../analysis/seededRandom.ts';
import { flatSurface } from '../../study/flatSurface.ts';

type Triple = readonly [number, number, number];

export interface Line {
  readonly fromMm: readonly [number, number];
  readonly toMm: readonly [number, number];
  readonly widthMm: number;
  /** Dose at t = 0..1 along the line. */
  readonly dose: (t: number) => number;
}

export interface Drawing {
  readonly widthMm: number;
  readonly heightMm: number;
  readonly dpi: number;
  readonly paper: Triple;
  /** Absorption per unit dose (natural logarithm) in the three channels. */
  readonly absorption: Triple;
  readonly lines: readonly Line[];
  readonly blurMm?: number;
  /** Relative standard deviation of white pixel noise. */
  readonly noise?: number;
  /** Relative standard deviation of fibre texture, correlated over about 0.2 mm. */
  readonly fibres?: number;
  /** Light falls by this share from left to right. */
  readonly lightFall?: number;
  readonly seed?: number;
}

const SUB = 4;

export function draw(d: Drawing): LinearRaster {
  const pxPerMm = d.dpi / 25.4;
  const w = Math.round(d.widthMm * pxPerMm);
  const h = Math.round(d.heightMm * pxPerMm);
  const planes = [0, 1, 2].map(() => new Float32Array(w * h));
  // A pixel's corner is so far from its middle.
  const corner = Math.SQRT1_2 / pxPerMm;
  for (let y = 0; y < h; y++) {
    for (let x = 0; x < w; x++) {
      const near = d.lines.filter((line) => isNear(line, (x + 0.5) / pxPerMm, (y + 0.5) / pxPerMm, corner));
      if (near.length === 0) {
        for (let c = 0; c < 3; c++) planes[c][y * w + x] = d.paper[c];
        continue;
      }
      for (let s = 0; s < SUB * SUB; s++) {
        const xMm = (x + ((s % SUB) + 0.5) / SUB) / pxPerMm;
        const yMm = (y + (Math.floor(s / SUB) + 0.5) / SUB) / pxPerMm;
        const dose = doseAt(near, xMm, yMm);
        for (let c = 0; c < 3; c++)
          planes[c][y * w + x] += (d.paper[c] * Math.exp(-d.absorption[c] * dose)) / (SUB * SUB);
      }
    }
  }
  const random = seededRandom(d.seed ?? 1);
  const fibres = texture(w, h, 0.2 * pxPerMm, () => normal(random));
  const data = new Float32Array(3 * w * h);
  planes.forEach((plane, c) => {
    const blurred = d.blurMm ? gaussianSmooth(plane, w, h, d.blurMm * pxPerMm) : plane;
    for (let i = 0; i < w * h; i++) {
      const light = 1 - ((d.lightFall ?? 0) * (i % w)) / w;
      data[3 * i + c] = blurred[i] * light * (1 + (d.fibres ?? 0) * fibres[i]) * (1 + (d.noise ?? 0) * normal(random));
    }
  });
  return { data, widthPx: w, heightPx: h, dpi: d.dpi, originPx: [0, 0], clipped: new Uint8Array(w * h) };
}

/** A flat paper as the page pass would have found it. */
export function flatPaper(paper: Triple, noise = 0.004): PaperSurface {
  return flatSurface(paper, noise);
}

function doseAt(lines: readonly Line[], x: number, y: number): number {
  let dose = 0;
  for (const line of lines) {
    const t = placeAlong(line, x, y);
    if (awayFrom2(line, t, x, y) <= (line.widthMm / 2) ** 2) dose += line.dose(t);
  }
  return dose;
}

function isNear(line: Line, x: number, y: number, byMm: number): boolean {
  return awayFrom2(line, placeAlong(line, x, y), x, y) <= (line.widthMm / 2 + byMm) ** 2;
}

/** Nearest place of the line's middle, 0..1. */
function placeAlong({ fromMm, toMm }: Line, x: number, y: number): number {
  const bx = toMm[0] - fromMm[0];
  const by = toMm[1] - fromMm[1];
  return Math.min(1, Math.max(0, ((x - fromMm[0]) * bx + (y - fromMm[1]) * by) / (bx * bx + by * by)));
}

/** Square of the distance to that place, mm². */
function awayFrom2({ fromMm, toMm }: Line, t: number, x: number, y: number): number {
  const dx = x - fromMm[0] - t * (toMm[0] - fromMm[0]);
  const dy = y - fromMm[1] - t * (toMm[1] - fromMm[1]);
  return dx * dx + dy * dy;
}

function texture(w: number, h: number, sigmaPx: number, normal: () => number): Float32Array {
  const white = Float32Array.from({ length: w * h }, normal);
  const smooth = gaussianSmooth(white, w, h, Math.max(0.6, sigmaPx));
  const sd = Math.sqrt(smooth.reduce((s, v) => s + v * v, 0) / smooth.length);
  return smooth.map((v) => v / sd);
}
