/** Shapes with exactly blurred edges on a 16-bit picture. Made for these tests. */
import { type Homography, mapBox, mapPoint, type Point } from '../../analysis/raster/homography.ts';
import type { DeviceRaster } from '../../analysis/raster/raster.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';

export type Rgb = readonly [r: number, g: number, b: number];

const FULL = 65535;

export class Canvas {
  readonly widthPx: number;
  readonly heightPx: number;
  readonly #blurPx: number;
  /** Device values, whole scale; interleaved RGB. */
  readonly #data: Uint16Array;

  constructor(widthPx: number, heightPx: number, blurPx: number) {
    this.widthPx = widthPx;
    this.heightPx = heightPx;
    this.#blurPx = Math.max(0.05, blurPx);
    this.#data = new Uint16Array(3 * widthPx * heightPx);
  }

  fill(colour: Rgb): void {
    for (let i = 0; i < this.#data.length; i += 3) {
      for (let c = 0; c < 3; c++) this.#data[i + c] = FULL * colour[c];
    }
  }

  /** A box of another plane. @param toPx Its plane → px, @param back the way back. */
  paintBox(
    toPx: Homography,
    back: Homography,
    [x, y, w, h]: readonly [x: number, y: number, width: number, height: number],
    colour: Rgb,
  ): void {
    const px = mapBox(toPx, [x, y, w, h]);
    // Px per unit across and down, at the box's middle: exact enough for a blur of a pixel.
    const across = (Math.hypot(px[1][0] - px[0][0], px[1][1] - px[0][1]) + gap(px[2], px[3])) / 2 / w;
    const down = (gap(px[3], px[0]) + gap(px[2], px[1])) / 2 / h;
    this.#paint(px, colour, (p) => {
      const [u, v] = mapPoint(back, p);
      return (
        this.#inside((u - x) * across) *
        this.#inside((x + w - u) * across) *
        this.#inside((v - y) * down) *
        this.#inside((y + h - v) * down)
      );
    });
  }

  paintDisc(toPx: Homography, back: Homography, [x, y]: Point, radius: number, colour: Rgb): void {
    const around = [
      [x - radius, y - radius],
      [x + radius, y - radius],
      [x + radius, y + radius],
      [x - radius, y + radius],
    ] as const;
    const px = around.map((p) => mapPoint(toPx, p));
    const scale = gap(px[0], px[2]) / (2 * Math.SQRT2 * radius);
    this.#paint(px, colour, (p) => {
      const [u, v] = mapPoint(back, p);
      return this.#inside((radius - Math.hypot(u - x, v - y)) * scale);
    });
  }

  /** A straight stroke with round ends; places and width in px. */
  paintStroke(from: Point, to: Point, widthPx: number, colour: Rgb): void {
    const [x0, y0] = from;
    const [dx, dy] = [to[0] - x0, to[1] - y0];
    const square = dx * dx + dy * dy || 1;
    const half = widthPx / 2;
    const reach = [from, to].flatMap(([x, y]): Point[] => [
      [x - half, y - half],
      [x + half, y + half],
    ]);
    this.#paint(reach, colour, ([x, y]) => {
      const t = Math.min(1, Math.max(0, ((x - x0) * dx + (y - y0) * dy) / square));
      const away = half - Math.hypot(x - x0 - t * dx, y - y0 - t * dy);
      // A stroke thinner than the blur is paler, not wider.
      return this.#inside(away) - this.#inside(away - widthPx);
    });
  }

  /** Light that falls by a share from the top left to the bottom right. */
  light(fall: number): void {
    if (fall === 0) return;
    for (let y = 0; y < this.heightPx; y++) {
      for (let x = 0; x < this.widthPx; x++) {
        const factor = 1 - (fall * (x / this.widthPx + y / this.heightPx)) / 2;
        const i = 3 * (y * this.widthPx + x);
        for (let k = i; k < i + 3; k++) this.#data[k] *= factor;
      }
    }
  }

  /** Triangular, so that nothing lies further than 2.5 standard deviations off. */
  noise(sd: number, seed: number): void {
    if (sd === 0) return;
    const random = seededRandom(seed * 7919 + 13);
    const scale = sd * Math.sqrt(6) * FULL;
    for (let i = 0; i < this.#data.length; i++) {
      const bits = random() * 65536;
      const coarse = Math.floor(bits);
      this.#data[i] = clamp(this.#data[i] + scale * (coarse / 65536 + (bits - coarse) - 1));
    }
  }

  raster(bits: 8 | 16, dpi: number): DeviceRaster {
    const { widthPx, heightPx } = this;
    if (bits === 16) return { data: this.#data, widthPx, heightPx, bits, dpi, originPx: [0, 0] };
    const data = new Uint8Array(this.#data.length);
    for (let i = 0; i < data.length; i++) data[i] = (this.#data[i] + 128) / 257;
    return { data, widthPx, heightPx, bits, dpi, originPx: [0, 0] };
  }

  #paint(around: readonly Point[], colour: Rgb, coverAt: (p: Point) => number): void {
    const reach = 3 * this.#blurPx + 1;
    const x0 = Math.max(0, Math.floor(Math.min(...around.map((p) => p[0])) - reach));
    const x1 = Math.min(this.widthPx, Math.ceil(Math.max(...around.map((p) => p[0])) + reach));
    const y0 = Math.max(0, Math.floor(Math.min(...around.map((p) => p[1])) - reach));
    const y1 = Math.min(this.heightPx, Math.ceil(Math.max(...around.map((p) => p[1])) + reach));
    for (let y = y0; y < y1; y++) {
      for (let x = x0; x < x1; x++) {
        const cover = coverAt([x + 0.5, y + 0.5]);
        if (cover < 1e-4) continue;
        const i = 3 * (y * this.widthPx + x);
        for (let c = 0; c < 3; c++) {
          const was = this.#data[i + c];
          this.#data[i + c] = clamp(was + cover * (FULL * colour[c] - was));
        }
      }
    }
  }

  #inside(distancePx: number): number {
    return stepShare(distancePx / this.#blurPx);
  }
}

function clamp(value: number): number {
  return value < 0 ? 0 : value > FULL ? FULL : Math.round(value);
}

function gap(a: Point, b: Point): number {
  return Math.hypot(b[0] - a[0], b[1] - a[1]);
}

/** Normal distribution function (Zelen & Severo 1964, 26.2.17; within 8e-8). */
export function stepShare(z: number): number {
  if (z > 5) return 1;
  if (z < -5) return 0;
  const t = 1 / (1 + 0.2316419 * Math.abs(z));
  const tail =
    (Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI)) *
    t *
    (0.31938153 + t * (-0.356563782 + t * (1.781477937 + t * (-1.821255978 + 1.330274429 * t))));
  return z > 0 ? 1 - tail : tail;
}
