import { expect, test } from 'vitest';
import { type Ink, inkInRatio } from '../../analysis/locate/inkMask.ts';
import { strokeInterior } from '../../analysis/locate/strokeInterior.ts';
import { draw, type Drawing } from '../measure/drawInk.ts';

const CROSSING_MM = [4.1, 2.2] as const;
const BLUR_MM = 0.075;

/** @param flare Light that the scanner adds to ink and paper alike. */
function inkOf(drawing: Drawing, flare = 0): Ink {
  const signal = draw(drawing);
  const ratio = signal.data.map((v, i) => (v + flare) / (drawing.paper[i % 3] + flare));
  return inkInRatio(ratio, signal, [0.006, 0.006, 0.006])!;
}

/** A fine line of dark ink with a tenth more where another crosses it. */
function denserAtCrossing(dpi: number): Drawing {
  const [x, y] = CROSSING_MM;
  const more = (along: number) => 0.8 * (1 + 0.1 * Math.exp(-(((along - x) / 1.6) ** 2)));
  return {
    widthMm: 9,
    heightMm: 4.4,
    dpi,
    paper: [0.86, 0.85, 0.82],
    absorption: [5, 4.5, 3.5],
    blurMm: BLUR_MM,
    noise: 0.004,
    lines: [
      { fromMm: [0.9, y], toMm: [8.1, y], widthMm: 0.36, dose: (t) => more(0.9 + 7.2 * t) },
      { fromMm: [x, 0.8], toMm: [x, 3.6], widthMm: 0.36, dose: () => more(x) },
    ],
  };
}

// At 1200 dpi the blur's rim was taken for what one layer has, and 0.79 of this ink for doubled.
test.each([300, 1200])('what is a little denser about a crossing is one layer, at %i dpi', (dpi) => {
  const d = denserAtCrossing(dpi);
  const ink = inkOf(d);
  const { widthPx } = ink.mask;
  const { crossings } = strokeInterior(ink, dpi, (BLUR_MM * dpi) / 25.4);
  let far = 0;
  let taken = 0;
  for (let i = 0; i < ink.mask.data.length; i++) {
    const [x, y] = [i % widthPx, Math.floor(i / widthPx)].map((px) => ((px + 0.5) * 25.4) / dpi);
    if (ink.mask.data[i] === 0 || Math.hypot(x - CROSSING_MM[0], y - CROSSING_MM[1]) < 1) continue;
    far++;
    taken += crossings.data[i];
  }
  expect(far).toBeGreaterThan(300);
  expect(taken / far).toBeLessThan(0.02);
});

/** A stem gone over from its middle up, an arch that leaves it, and lines beside it that are crossed once; of what is this dark most is flare. */
function mostlyFlare(dpi: number): Drawing {
  const stroke = (fromMm: [number, number], toMm: [number, number]) => ({
    fromMm,
    toMm,
    widthMm: 0.9,
    dose: () => 1,
  });
  return {
    widthMm: 14,
    heightMm: 8,
    dpi,
    paper: [0.86, 0.85, 0.82],
    absorption: [5, 6.5, 6.5],
    blurMm: 0.03,
    noise: 0.005,
    lines: [
      stroke([3, 1], [3, 7]),
      stroke([3, 5], [3, 2.2]),
      stroke([3, 2.2], [6, 1.2]),
      stroke([7.4, 1], [7.4, 7]),
      stroke([9.4, 1], [9.4, 7]),
      stroke([11.4, 1], [11.4, 7]),
      stroke([6.6, 4], [12.4, 4.6]),
    ],
  };
}

// Two layers are 1.03 times as dense as one; with a fixed limit of 1.04 all of the stem counted as one.
test('near-black ink that lies twice is told where single strokes scatter little', () => {
  const dpi = 300;
  const d = mostlyFlare(dpi);
  const ink = inkOf(d, 0.02);
  const { interior } = strokeInterior(ink, dpi, (0.03 * dpi) / 25.4);
  const counted = (xMm: number, fromMm: number, toMm: number): number => {
    const [x, from, to] = [xMm, fromMm, toMm].map((mm) => Math.round((mm * dpi) / 25.4));
    let sum = 0;
    for (let y = from; y < to; y++) sum += interior.data[y * ink.mask.widthPx + x];
    return sum / (to - from);
  };
  expect(counted(3, 3.2, 4.8)).toBeLessThan(0.05);
  expect(counted(3, 5.7, 6.5)).toBe(1);
  expect(counted(9.4, 1.5, 3.3)).toBeGreaterThan(0.97);
});
