/** Blur from the slanted edge: drawn edges of known sigma. The idea is that of ISO 12233. */
import { describe, expect, test } from 'vitest';
import { CARD_PLACES, slantedEdgeDark } from '../../analysis/calibrate/card/plan.ts';
import { edgeBlur } from '../../analysis/locate/slantedEdge.ts';
import { homography, invertHomography, mapPoint, type Point } from '../../analysis/raster/homography.ts';
import { gaussianSmooth } from '../../analysis/raster/gaussian.ts';
import type { LinearRaster } from '../../analysis/raster/raster.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';

const BOX = CARD_PLACES.edgeBoxMm;
const DARK = 0.04;
const LIGHT = 0.86;

interface Drawn {
  readonly dpi: number;
  readonly sigmaMm: number;
  readonly turnDeg?: number;
  readonly noise?: number;
}

/** The dark side as the card's plan prints it, blurred exactly (a straight edge), each pixel the mean of 4 × 4 places. */
function drawEdge({ dpi, sigmaMm, turnDeg = 0, noise = 0 }: Drawn) {
  const pxPerMm = dpi / 25.4;
  const size = Math.ceil(18 * pxPerMm);
  const a = (turnDeg * Math.PI) / 180;
  const [mx, my] = [BOX[0] + BOX[2] / 2, BOX[1] + BOX[3] / 2];
  const corners: Point[] = [
    [BOX[0], BOX[1]],
    [BOX[0] + BOX[2], BOX[1]],
    [BOX[0] + BOX[2], BOX[1] + BOX[3]],
    [BOX[0], BOX[1] + BOX[3]],
  ];
  const placed = corners.map(([x, y]): Point => {
    const [u, v] = [x - mx, y - my];
    return [(9.03 + Math.cos(a) * u - Math.sin(a) * v) * pxPerMm, (8.96 + Math.sin(a) * u + Math.cos(a) * v) * pxPerMm];
  });
  const toPx = homography(corners, placed);
  const back = invertHomography(toPx);
  const [p, q, r, s] = slantedEdgeDark(BOX);
  const along = Math.hypot(r[0] - q[0], r[1] - q[1]);
  const inside = (x: number, y: number): number => {
    // Distance to the slanted side, positive on the dark one.
    const edge = ((r[0] - q[0]) * (y - q[1]) - (r[1] - q[1]) * (x - q[0])) / along;
    return (
      share(edge / sigmaMm) * share((x - p[0]) / sigmaMm) * share((y - p[1]) / sigmaMm) * share((s[1] - y) / sigmaMm)
    );
  };
  const random = seededRandom(11);
  // Places of a pixel a side at which it is looked at: two do where the edge is many times as broad.
  const fine = (sigmaMm * dpi) / 25.4 > 2 ? 2 : 4;
  const data = new Float32Array(3 * size * size);
  for (let y = 0; y < size; y++) {
    for (let x = 0; x < size; x++) {
      let dark = 0;
      for (let k = 0; k < fine ** 2; k++) {
        const [u, v] = mapPoint(back, [x + ((k % fine) + 0.5) / fine, y + (Math.floor(k / fine) + 0.5) / fine]);
        dark += inside(u, v) / fine ** 2;
      }
      for (let c = 0; c < 3; c++) {
        data[3 * (y * size + x) + c] =
          LIGHT + (DARK - LIGHT) * dark + noise * 2 * (random() + random() + random() - 1.5);
      }
    }
  }
  const raster: LinearRaster = {
    data,
    widthPx: size,
    heightPx: size,
    dpi,
    originPx: [0, 0],
    clipped: new Uint8Array(size * size),
  };
  return { raster, toPx };
}

/** Normal distribution function by the error function of Abramowitz & Stegun 1964, 7.1.26 (within 1.5e-7): not the formula that is tested. */
function share(z: number): number {
  const x = Math.abs(z) / Math.SQRT2;
  const t = 1 / (1 + 0.3275911 * x);
  const tail =
    t *
    (0.254829592 + t * (-0.284496736 + t * (1.421413741 + t * (-1.453152027 + t * 1.061405429)))) *
    Math.exp(-x * x);
  return z > 0 ? 1 - tail / 2 : tail / 2;
}

/** The pixel's own square is part of what a scanner does to an edge. */
function whole(sigmaMm: number, dpi: number): number {
  return Math.hypot((sigmaMm * dpi) / 25.4, 1 / Math.sqrt(12));
}

describe('drawn edges', () => {
  test.each([
    [150, 0.06],
    [200, 0.1],
    [300, 0.045],
    [300, 0.08],
    [600, 0.06],
    [1200, 0.05],
  ])('%i dpi, sigma %f mm, with noise', (dpi, sigmaMm) => {
    const { raster, toPx } = drawEdge({ dpi, sigmaMm, noise: 0.01 });
    const blur = edgeBlur(raster, BOX, toPx);
    expect(blur).not.toBeNull();
    expect(Math.abs(blur!.sigmaPx / whole(sigmaMm, dpi) - 1)).toBeLessThan(0.015);
    // Of a Gaussian, exp(−2π²σ²f²) = 1/2.
    const half = Math.sqrt(Math.LN2 / 2) / Math.PI / whole(sigmaMm, dpi);
    expect(Math.abs(blur!.mtf50PerPx / half - 1)).toBeLessThan(0.06);
    expect(blur!.overshoot).toBeLessThan(0.005);
  });

  test.each([
    [0.8, 1.5],
    [1.5, 1],
  ])('sharpened by %f of a mask of %f px: how much too light it is beside the edge', (amount, maskPx) => {
    const { raster, toPx } = drawEdge({ dpi: 300, sigmaMm: 0.06, noise: 0.002 });
    const { widthPx, heightPx } = raster;
    const plane = Float32Array.from({ length: widthPx * heightPx }, (_, i) => raster.data[3 * i]);
    const mask = gaussianSmooth(plane, widthPx, heightPx, maskPx);
    const data = raster.data.map((_, i) => {
      const p = Math.floor(i / 3);
      return plane[p] + amount * (plane[p] - mask[p]);
    });
    // Two normal distribution functions, and the mean of the lightest pixel.
    const edge = (t: number) => (1 + amount) * share(t / own) - amount * share(t / Math.hypot(own, maskPx)) - 1;
    const own = whole(0.06, 300);
    const pixel = (from: number) => Array.from({ length: 20 }, (_, k) => edge(from + (k + 0.5) / 20) / 20);
    const lightest = Math.max(...Array.from({ length: 80 }, (_, k) => pixel(k / 10).reduce((sum, v) => sum + v, 0)));
    const { overshoot } = edgeBlur({ ...raster, data }, BOX, toPx)!;
    expect(lightest).toBeGreaterThan(0.03);
    expect(Math.abs(overshoot / lightest - 1)).toBeLessThan(0.1);
  });

  test.each([90, 180, 270, 3, 45, -30, 95])('card turned by %i°', (turnDeg) => {
    const { raster, toPx } = drawEdge({ dpi: 300, sigmaMm: 0.06, turnDeg, noise: 0.01 });
    const blur = edgeBlur(raster, BOX, toPx);
    expect(blur).not.toBeNull();
    expect(Math.abs(blur!.sigmaPx / whole(0.06, 300) - 1)).toBeLessThan(0.04);
  });

  test('the printed softness is not told from the scanner’s: a wider edge is a wider sigma', () => {
    const sigmas = [0.04, 0.08, 0.16, 0.24].map((sigmaMm) => {
      const { raster, toPx } = drawEdge({ dpi: 300, sigmaMm });
      return edgeBlur(raster, BOX, toPx)!.sigmaPx / whole(sigmaMm, 300);
    });
    for (const ratio of sigmas) expect(Math.abs(ratio - 1)).toBeLessThan(0.003);
  });
});

describe('no clean edge tells nothing', () => {
  test('bare card', () => {
    const { raster, toPx } = drawEdge({ dpi: 300, sigmaMm: 0.06 });
    raster.data.fill(0.8);
    expect(edgeBlur(raster, BOX, toPx)).toBeNull();
  });

  test('an edge that lies along the pixels', () => {
    const { raster, toPx } = drawEdge({ dpi: 300, sigmaMm: 0.06, turnDeg: -CARD_PLACES.edgeTurnDeg });
    expect(edgeBlur(raster, BOX, toPx)).toBeNull();
  });

  test('pure noise', () => {
    const { raster, toPx } = drawEdge({ dpi: 300, sigmaMm: 0.06 });
    const random = seededRandom(3);
    raster.data.forEach((_, i) => (raster.data[i] = random()));
    expect(edgeBlur(raster, BOX, toPx)).toBeNull();
  });

  test('a box that holds something else: stripes', () => {
    const { raster, toPx } = drawEdge({ dpi: 300, sigmaMm: 0.06 });
    raster.data.forEach((_, i) => (raster.data[i] = Math.floor(i / 3) % 40 < 20 ? 0.05 : 0.9));
    expect(edgeBlur(raster, BOX, toPx)).toBeNull();
  });
});
