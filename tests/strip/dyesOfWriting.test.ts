/** A strip's dyes over writing: a drawn stroke of one mixture with a ring of one dye around it comes back as it was drawn. */
import { describe, expect, test } from 'vitest';
import { compileCalibration, signalToXyz } from '../../analysis/calibrate/apply.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { xyzToLab } from '../../analysis/colour/lab.ts';
import { dyesOfWriting, type WritingDyes } from '../../analysis/measure/strip/dyesOfWriting.ts';
import { densityOfColour, type Dye } from '../../analysis/measure/strip/unmix.ts';
import type { LinearRaster } from '../../analysis/raster/raster.ts';
import { triple } from '../../analysis/triple.ts';

const calibration = compileCalibration(nominalCalibration);
const PAPER = [0.86, 0.84, 0.8] as const;
/** As signals over paper: a blue, a pink and a yellow dye at one unit each. */
const DYES = [
  [0.55, 0.3, 0.05],
  [0.08, 0.5, 0.15],
  [0.02, 0.06, 0.5],
] as const;
const DPI = 300;
const [WIDTH, HEIGHT] = [200, 180];

/** Rows of paper, with a stroke 60 px wide in the middle and a ring 12 px wide on either side of it; light falls off to the right. */
function drawn(stroke: readonly number[], ring: readonly number[]): { signal: LinearRaster; inked: Uint8Array } {
  const data = new Float32Array(3 * WIDTH * HEIGHT);
  const inked = new Uint8Array(WIDTH * HEIGHT);
  for (let y = 0; y < HEIGHT; y++) {
    const off = Math.abs(y + 0.5 - HEIGHT / 2);
    const amounts = off < 30 ? stroke : off < 42 ? ring : [0, 0, 0];
    for (let x = 0; x < WIDTH; x++) {
      const i = y * WIDTH + x;
      if (off < 30) inked[i] = 1;
      for (let c = 0; c < 3; c++) {
        const density = amounts.reduce((sum, amount, j) => sum + amount * DYES[j][c], 0);
        data[3 * i + c] = PAPER[c] * (1 - (0.06 * x) / WIDTH) * 10 ** -density;
      }
    }
  }
  const clipped = new Uint8Array(WIDTH * HEIGHT);
  return { signal: { data, widthPx: WIDTH, heightPx: HEIGHT, dpi: DPI, originPx: [0, 0], clipped }, inked };
}

const dyes: Dye[] = DYES.map((density) => ({ density, u: [0.002, 0.002, 0.002] }));

/** The same by their colours at a fifth of a unit: mixtures of pale colours add in cone signals, too, or nearly. */
function byColour(): Dye[] {
  const bare = xyzToLab(signalToXyz(PAPER, calibration));
  return DYES.map((density) => {
    const pale = triple((c) => PAPER[c] * 10 ** (-0.2 * density[c]));
    return { density: densityOfColour(xyzToLab(signalToXyz(pale, calibration)), bare), u: [0.002, 0.002, 0.002] };
  });
}

function measured(stroke: readonly number[], ring: readonly number[], haloMm: number | null = 1): WritingDyes {
  const found = dyesOfWriting({ ...drawn(stroke, ring), calibration, dyes, toldBy: 'channels', haloMm });
  if (!found) throw new Error('nothing was told');
  return found;
}
const zone = (found: WritingDyes, name: string) => {
  const one = found.zones.find((z) => z.zone === name);
  if (!one) throw new Error(`no ${name}`);
  return one;
};

describe('a stroke of three dyes with a ring of one', () => {
  const found = measured([0.3, 0.2, 0.15], [0.12, 0, 0]);

  test('the middle of the stroke and the ring hold what was drawn', () => {
    zone(found, 'core').amounts.forEach((amount, j) => expect(amount).toBeCloseTo([0.3, 0.2, 0.15][j], 3));
    zone(found, 'ring').amounts.forEach((amount, j) => expect(amount).toBeCloseTo([0.12, 0, 0][j], 3));
    expect(Math.max(...zone(found, 'ring').u)).toBeLessThan(0.012);
    expect(Math.max(...zone(found, 'core').u)).toBeLessThan(0.06);
  });

  test('which dye makes the ring: its share there against that in the stroke', () => {
    expect(zone(found, 'ring').shares[0]).toBeGreaterThan(0.9);
    expect(zone(found, 'core').shares[0]).toBeLessThan(0.65);
    expect(zone(found, 'core').shares.reduce((a, b) => a + b, 0)).toBeCloseTo(1, 9);
  });

  test('areas are those of the drawing, and the map shows the same amounts in place', () => {
    const px = 25.4 / DPI;
    const whole = zone(found, 'core').areaMm2 + zone(found, 'edge').areaMm2;
    expect(whole).toBeCloseTo(60 * WIDTH * px * px, 3);
    const { columns, rows, mmPerCell, amounts } = found.map;
    expect(columns * mmPerCell).toBeCloseTo(WIDTH * px, 0);
    const at = (y: number) => amounts[0][Math.floor((y / HEIGHT) * rows) * columns + (columns >> 1)];
    expect(at(90)).toBeCloseTo(0.3, 3);
    expect(at(54)).toBeCloseTo(0.12, 3);
    expect(at(10)).toBe(0);
  });
});

test('a ring of nothing but paper holds no dye', () => {
  const found = measured([0.3, 0.2, 0.15], [0, 0, 0]);
  const { amounts, u } = zone(found, 'ring');
  amounts.forEach((amount, j) => expect(amount).toBeLessThan(2 * u[j] + 1e-6));
});

test('a halo that was seen decides how wide the ring is', () => {
  const wide = zone(measured([0.3, 0.2, 0.15], [0.12, 0, 0], 3), 'ring');
  const narrow = zone(measured([0.3, 0.2, 0.15], [0.12, 0, 0], 0.5), 'ring');
  expect(wide.areaMm2).toBeGreaterThan(2 * narrow.areaMm2);
  expect(wide.density).toBeLessThan(narrow.density);
});

test('without bare paper beside it nothing is told', () => {
  const { signal } = drawn([0.3, 0.2, 0.15], [0, 0, 0]);
  const inked = new Uint8Array(WIDTH * HEIGHT).fill(1);
  expect(dyesOfWriting({ signal, inked, calibration, dyes, toldBy: 'channels', haloMm: null })).toBeNull();
});

test('by their colours, as of a strip from another scanner: nearly the same, and the u says how nearly', () => {
  const pale = drawn([0.06, 0.04, 0.03], [0.02, 0, 0]);
  const found = dyesOfWriting({ ...pale, calibration, dyes: byColour(), toldBy: 'colours', haloMm: 1 });
  const { amounts, u } = zone(found!, 'core');
  amounts.forEach((amount, j) => expect(Math.abs(0.2 * amount - [0.06, 0.04, 0.03][j])).toBeLessThan(0.4 * u[j]));
  expect(zone(found!, 'ring').shares[0]).toBeGreaterThan(0.9);
});
