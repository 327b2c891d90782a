/** Where paper ends inside a strip's box, along rows of one level each. */
import { expect, test } from 'vitest';
import { stripView } from '../../analysis/locate/lane.ts';
import { paperEnd, paperStart } from '../../analysis/locate/paperEnd.ts';
import type { LinearRaster } from '../../analysis/raster/raster.ts';

type Triple = readonly [number, number, number];

const DPI = 254;
const LENGTH_MM = 60;
const END_MM = 55;
const PAPER: Triple = [0.84, 0.83, 0.8];
const LID: Triple = [0.72, 0.72, 0.71];

/** Paper up to END_MM, lid. @param between share of the lid's light at the paper's end, from where it goes back to 1 by e in 0.45 mm @param inside light of the paper by mm */
function strip(between: Triple, inside: (mm: number) => number = () => 1): LinearRaster {
  const [widthPx, heightPx] = [160, (LENGTH_MM * DPI) / 25.4];
  const data = new Float32Array(3 * widthPx * heightPx);
  for (let y = 0; y < heightPx; y++) {
    const mm = (y + 0.5) / 10;
    for (let k = 0; k < 3 * widthPx; k++) {
      const c = k % 3;
      const beyond = LID[c] * (1 - (1 - between[c]) * Math.exp((END_MM - mm) / 0.45));
      data[3 * widthPx * y + k] = mm < END_MM ? PAPER[c] * inside(mm) : beyond;
    }
  }
  return { data, widthPx, heightPx, dpi: DPI, originPx: [0, 0], clipped: new Uint8Array(widthPx * heightPx) };
}

function endMm(raster: LinearRaster): number | null {
  const view = stripView(raster, 'y', false);
  const end = paperEnd(view, [0, view.along]);
  return end === null ? null : end * view.pxMm;
}

test('inside a grey shadow on the lid, at either end', () => {
  const shaded = strip([0.8, 0.8, 0.8]);
  expect(endMm(shaded)).toBeGreaterThan(END_MM - 1.1);
  expect(endMm(shaded)).toBeLessThanOrEqual(END_MM);
  const turned = stripView(shaded, 'y', true);
  const start = paperStart(turned, [0, turned.along]) ?? 0;
  expect(start * turned.pxMm).toBeGreaterThanOrEqual(LENGTH_MM - END_MM);
  expect(start * turned.pxMm).toBeLessThan(LENGTH_MM - END_MM + 1.1);
});

test('a brown line is what liquid leaves, not a shadow', () => {
  expect(endMm(strip([0.93, 0.85, 0.68]))).toBeNull();
});

test('between levels that are nearly one a grey line is a pencil’s', () => {
  const nearlyLid = (mm: number): number => (mm > 0 ? 0.87 : 1);
  expect(endMm(strip([0.8, 0.8, 0.8], nearlyLid))).toBeNull();
});

test('what goes on to change inside is colour, not paper', () => {
  expect(endMm(strip([0.8, 0.8, 0.8], (mm) => 1 - 0.12 * Math.max(0, 1 - (END_MM - mm) / 3)))).toBeNull();
});
