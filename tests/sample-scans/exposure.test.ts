/** What the scanner makes of known light. */
import { describe, expect, test } from 'vitest';
import { expose } from '../../sample-scans/generator/expose.ts';
import { stream } from '../../sample-scans/generator/random.ts';
import { drawScanner, toneValue } from '../../sample-scans/generator/scanner.ts';
import type { Scene } from '../../sample-scans/generator/scene.ts';

const flat = (level: number): Scene => ({ widthMm: 20, heightMm: 20, paint: (band) => band.data.fill(level) });

describe('an even grey', () => {
  const scanner = drawScanner(3, { unevenLight: 0 });
  const scan = expose(flat(0.4), scanner, { dpi: 300, bits: 16, converterBits: 12 }, stream(1, 'noise'));

  test('comes out at its tone value, with the noise that the scanner has', () => {
    for (let c = 0; c < 3; c++) {
      const values: number[] = [];
      for (let i = c; i < scan.data.length; i += 3) values.push(scan.data[i] / 65535);
      const mean = values.reduce((a, b) => a + b, 0) / values.length;
      const sd = Math.sqrt(values.reduce((sum, v) => sum + (v - mean) ** 2, 0) / values.length);
      const light = (0.4 + scanner.flare[c]) / (1 + scanner.flare[c]);
      const law = scanner.tone[c];
      expect(mean).toBeCloseTo(toneValue(law, light), 4);
      const slope = (toneValue(law, light + 1e-4) - toneValue(law, light - 1e-4)) / 2e-4;
      const noise = slope * Math.sqrt(scanner.readNoise ** 2 + scanner.photonNoise ** 2 * light);
      expect(sd / Math.hypot(noise, 1 / 4095 / Math.sqrt(12))).toBeCloseTo(1, 1);
    }
  });

  test('holds no more levels than the converter has', () => {
    const ten = expose(flat(0.4), scanner, { dpi: 150, bits: 16, converterBits: 10 }, stream(1, 'noise'));
    expect(ten.data.every((v) => v === (((v >> 6) << 6) | (v >> 10)))).toBe(true);
    expect(new Set(ten.data).size).toBeGreaterThan(2);
  });
});

test('blur spreads an edge by the scanner’s own width, the same in mm at every resolution', () => {
  const scanner = drawScanner(5, { unevenLight: 0, noise: 0 });
  const step: Scene = {
    widthMm: 8,
    heightMm: 0.1,
    paint: ({ data, widthPx, pxPerMm }) => {
      for (let i = 0; i < data.length; i++) {
        const x = Math.floor(i / 3) % widthPx;
        data[i] = Math.min(0.8, Math.max(0.1, 0.1 + 0.7 * (x + 1 - 4 * pxPerMm)));
      }
    },
  };
  const widths = [1200, 2400].map((dpi) => {
    const scan = expose(step, scanner, { dpi, bits: 16, converterBits: 16 }, stream(1, 'none'));
    const row = Array.from({ length: scan.widthPx }, (_, x) => invert(scanner.tone[1], scan.data[3 * x + 1] / 65535));
    const [low, high] = [row[0], row[row.length - 1]];
    const at = (share: number): number => {
      const level = low + share * (high - low);
      const i = row.findIndex((v) => v >= level);
      return i - (row[i] - level) / (row[i] - row[i - 1]);
    };
    return ((at(0.9) - at(0.1)) * 25.4) / dpi;
  });
  // 10–90 % of a Gaussian is 2.563 standard deviations; the pixel itself adds a little.
  for (const width of widths) expect(width / (2.563 * scanner.blurSdMm)).toBeCloseTo(1, 1);
});

test('light below the black gives 0, in 8 and in 16 bits', () => {
  const scanner = drawScanner(3, { noise: 0 });
  for (const bits of [8, 16] as const) {
    const scan = expose(flat(-0.05), scanner, { dpi: 150, bits, converterBits: 12 }, stream(1, 'n'));
    expect(scan.data.every((v) => v === 0)).toBe(true);
  }
});

test('paper below clipping clips when that is asked for', () => {
  const share = (clipped: boolean): number => {
    const scan = expose(
      flat(0.9),
      drawScanner(4, { clipped }),
      { dpi: 150, bits: 8, converterBits: 12 },
      stream(1, 'n'),
    );
    return scan.data.filter((v) => v === 255).length / scan.data.length;
  };
  expect(share(false)).toBe(0);
  expect(share(true)).toBeGreaterThan(0.5);
});

function invert(law: Parameters<typeof toneValue>[0], value: number): number {
  let low = 0;
  let high = 1.2;
  for (let i = 0; i < 50; i++) {
    const middle = (low + high) / 2;
    if (toneValue(law, middle) < value) low = middle;
    else high = middle;
  }
  return low;
}
