/** A known light over the bed, a sheet scanned in it, and what is left of the light once the sheet has told it. */
import { describe, expect, it } from 'vitest';
import { compileCalibration, linearise } from '../../analysis/calibrate/apply.ts';
import type { SurroundReading, ToneCurve } from '../../analysis/calibrate/calibration.ts';
import { CalibrationError } from '../../analysis/calibrate/calibrationError.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { fitCalibration } from '../../analysis/calibrate/fit.ts';
import { gainRow, lightAt } from '../../analysis/calibrate/flatField.ts';
import { fitWhiteField, whiteShortOf } from '../../analysis/calibrate/whiteField.ts';
import { whiteSheetReader, type WhiteSheet } from '../../analysis/calibrate/whiteSheet.ts';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { labD50, labToXyz, xyzToLab } from '../../analysis/colour/lab.ts';
import type { DeviceRaster } from '../../analysis/raster/raster.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import { madeUpTarget } from './madeUpTarget.ts';

const DPI = 50;
const BED_MM = [216, 150] as const;
const GAMMA = 2.2;
const curve: ToneCurve = {
  device: Array.from({ length: 33 }, (_, i) => i / 32),
  linear: Array.from({ length: 33 }, (_, i) => (i / 32) ** GAMMA),
  exponent: GAMMA,
  flare: 0,
};
const curves = [curve, curve, curve] as const;

/** No quadratic: a lamp that falls off towards its ends, a slow wave along the bed, each channel a little otherwise. */
const lamp = (x: number, y: number, c: number): number =>
  1 - 0.09 * Math.abs((x - 108) / 108) ** 4 + 0.012 * Math.sin(y / 22 + c) + 0.01 * c * ((x - 108) / 108);

interface Sheet {
  readonly dpi?: number;
  /** Left, top, right, bottom of the sheet on the bed, mm. */
  readonly sheetMm?: readonly [number, number, number, number];
  readonly lid?: number;
  readonly paper?: number;
  readonly written?: boolean;
  readonly dust?: number;
}

function scanOf({
  dpi = DPI,
  sheetMm = [-1, -1, 999, 999],
  lid = 0.2,
  paper = 0.82,
  written = false,
  dust = 0,
}: Sheet = {}): DeviceRaster {
  const [widthPx, heightPx] = BED_MM.map((mm) => Math.round((mm * dpi) / 25.4));
  const data = new Uint16Array(3 * widthPx * heightPx);
  const random = seededRandom(11);
  for (let y = 0; y < heightPx; y++) {
    for (let x = 0; x < widthPx; x++) {
      const [mmX, mmY] = [((x + 0.5) * 25.4) / dpi, ((y + 0.5) * 25.4) / dpi];
      const onSheet = mmX > sheetMm[0] && mmY > sheetMm[1] && mmX < sheetMm[2] && mmY < sheetMm[3];
      const ink = written && mmX > 60 && mmX < 150 && mmY > 40 && mmY < 100 && mmY % 8 < 3 && mmX % 4 < 2;
      const fibre = 1 + 0.01 * (random() + random() + random() - 1.5);
      const speck = random() < dust ? 0.5 : 1;
      for (let c = 0; c < 3; c++) {
        const linear = (onSheet ? (ink ? 0.1 : paper * fibre * speck) : lid) * lamp(mmX, mmY, c);
        data[3 * (y * widthPx + x) + c] = Math.round(65535 * Math.min(1, linear) ** (1 / GAMMA));
      }
    }
  }
  return { data, widthPx, heightPx, bits: 16, dpi, originPx: [0, 0] };
}

function read(scan: DeviceRaster, rows = 40): WhiteSheet {
  const reader = whiteSheetReader(scan, 'white.tif');
  for (let y = 0; y < scan.heightPx; y += rows) {
    const heightPx = Math.min(rows, scan.heightPx - y);
    const from = 3 * y * scan.widthPx;
    const data = scan.data.slice(from, from + 3 * heightPx * scan.widthPx);
    reader.take({ ...scan, data, heightPx, originPx: [0, y] });
  }
  return reader.done();
}

const refused = (scan: DeviceRaster): CalibrationError => {
  try {
    read(scan);
  } catch (error) {
    if (error instanceof CalibrationError) return error;
    throw error;
  }
  throw new Error('nothing was refused');
};

/** Largest relative error of the light over the bed, after its free scale is taken out. */
function worstMiss(white: WhiteSheet, inMm = 0): number {
  const field = fitWhiteField(white, curves)!;
  let worst = 0;
  for (let c = 0; c < 3; c++) {
    const ratios: number[] = [];
    for (let x = 3 + inMm; x < BED_MM[0] - inMm; x += 7) {
      for (let y = 3 + inMm; y < BED_MM[1] - inMm; y += 7) ratios.push(lightAt(field, c, [x, y]) / lamp(x, y, c));
    }
    const mean = ratios.reduce((sum, value) => sum + value, 0) / ratios.length;
    worst = Math.max(worst, ...ratios.map((value) => Math.abs(value / mean - 1)));
  }
  return worst;
}

describe('the light from a white sheet', () => {
  it.each([50, 100])('at %i dpi a lamp that is no quadratic is told to 0.3 % all over the bed', (dpi) => {
    expect(worstMiss(read(scanOf({ dpi })))).toBeLessThan(0.003);
  });

  it('comes in any bands to the same figures', () => {
    const scan = scanOf();
    expect(read(scan, 1)).toEqual(read(scan, 1000));
  });

  it('dust on one pixel of a hundred has no say', () => {
    expect(worstMiss(read(scanOf({ dpi: 100, dust: 0.01 })))).toBeLessThan(0.003);
  });

  it('along a row it is one over what it is at a place', () => {
    const field = fitWhiteField(read(scanOf()), curves)!;
    const out = new Float64Array(3 * 900);
    gainRow(field, [-4, 61.3], 0.25, 900, out);
    for (const x of [0, 17, 400, 899]) {
      for (let c = 0; c < 3; c++) expect(out[3 * x + c]).toBeCloseTo(1 / lightAt(field, c, [-4 + 0.25 * x, 61.3]), 12);
    }
  });

  it('is taken out of a page at another resolution, by the place on the bed', () => {
    const flatField = fitWhiteField(read(scanOf()), curves)!;
    const page = scanOf({ dpi: 90, paper: 0.5 });
    const { data } = linearise(page, compileCalibration({ ...nominalCalibration, curves, flatField }));
    const blocks: number[] = [];
    for (let y = 20; y + 20 < page.heightPx; y += 40) {
      for (let x = 20; x + 20 < page.widthPx; x += 40) {
        let sum = 0;
        for (let v = -10; v < 10; v++)
          for (let u = -10; u < 10; u++) sum += data[3 * ((y + v) * page.widthPx + x + u) + 1];
        blocks.push(sum / 400);
      }
    }
    const mean = blocks.reduce((sum, value) => sum + value, 0) / blocks.length;
    for (const block of blocks) expect(Math.abs(block / mean - 1)).toBeLessThan(0.004);
  });
});

describe('a sheet that cannot serve', () => {
  it('with writing is refused, and where', () => {
    const error = refused(scanOf({ written: true }));
    expect(error.code).toBe('white-not-bare');
    expect(error.message).toMatch(
      /white\.tif: \d+ % of the white sheet is not bare \(writing.* the first at 58, 43 mm/,
    );
  });

  it('that is clipped is refused', () => {
    const error = refused(scanOf({ paper: 1.2 }));
    expect(error.code).toBe('white-clipped');
    expect(error.message).toMatch(/\d+ % of the white sheet lies at the top of the scale/);
  });

  it('that is dark, or too small, is refused', () => {
    expect(refused(scanOf({ paper: 0.05, lid: 0.02 })).message).toMatch(/no white sheet is seen/);
    expect(refused(scanOf({ sheetMm: [90, 60, 120, 90], lid: 0.75, paper: 0.9 })).message).toMatch(
      /only .* mm of even white are seen|is not bare/,
    );
  });

  it('smaller than the bed is used as far as it goes, and says so', () => {
    const white = read(scanOf({ sheetMm: [20, 10, 160, 130], lid: 0.7 }));
    const [x, y, width, height] = white.boxMm;
    expect([x, y]).toEqual([27.5, 17.5]);
    expect([x + width, y + height]).toEqual([152.5, 122.5]);
    expect(whiteShortOf(white, [{ centreMm: [60, 60] }])).toMatchObject({ target: false });
    const short = whiteShortOf(white, [{ centreMm: [60, 60] }, { centreMm: [180, 60] }])!;
    expect(short.target).toBe(true);
    expect(short.words).toMatch(/from 28 to 153 mm across .* 1 of 2 patches lie beyond/);
    expect(whiteShortOf(read(scanOf()), [{ centreMm: [60, 60] }])).toBeNull();
  });
});

describe('in the fit', () => {
  const gamma = (s: number) => s ** (1 / GAMMA);
  const target = madeUpTarget({ tone: gamma });
  const lit = (device: readonly [number, number, number], x: number, y: number, of = lamp) => {
    const [r, g, b] = device.map((d, c) => gamma(d ** GAMMA * of(x, y, c)));
    return [r, g, b] as const;
  };
  const readings = target.readings.map((reading, i) => {
    const [x, y] = [15 + 26 * (i % 8), 12 + 24 * Math.floor(i / 8)] as const;
    return { ...reading, device: lit(reading.device, x, y), centreMm: [x, y] as const };
  });
  const white = read(scanOf());
  const surround = (of = lamp) =>
    Array.from({ length: 48 }, (_, i): SurroundReading => {
      const [x, y] = [10 + 27 * (i % 8), 8 + 26 * Math.floor(i / 8)] as const;
      return { device: lit(target.device(labToXyz(labD50(95, 0, 1))), x, y, of), pixels: 400, placeMm: [x, y] };
    });

  it('patches come back as in even light, far better than without it', () => {
    const plain = fitCalibration(readings, target.reference);
    const even = fitCalibration(readings, target.reference, { white });
    expect(plain.leftOutMedian!).toBeGreaterThan(0.4);
    expect(even.leftOutMedian!).toBeLessThan(0.045);
    expect(even.flatField!.residual).toBeLessThan(0.002);
    expect(even.cautions).toEqual([]);
    for (const patch of even.patches) expect(patch.dE00Fitted).toBeLessThan(0.12);
  });

  it('the sheet speaks before the bare card, and the card shows when the sheet is another scanner’s', () => {
    const right = fitCalibration(readings, target.reference, { white, surround: surround() });
    expect(right.flatField!.grid).toBeDefined();
    expect(right.cautions).toEqual([]);
    const other = (x: number, y: number, c: number) => lamp(x, y, c) * (1 - 0.06 * (x / 216));
    const wrong = fitCalibration(readings, target.reference, { white, surround: surround(other) });
    expect(wrong.cautions[0].code).toBe('uneven-light');
    expect(wrong.cautions[0].words).toMatch(/bare card still varies by \d %/);
    expect(wrong.judgement).toBe('usable');
  });

  it('a colour elsewhere on the bed comes back too', () => {
    const c = compileCalibration(fitCalibration(readings, target.reference, { white }));
    const lab = labD50(52, 20, -30);
    for (const [x, y] of [
      [8, 140],
      [110, 70],
      [205, 8],
    ] as const) {
      const device = lit(target.device(labToXyz(lab)), x, y);
      const px = (mm: number) => Math.round((mm * 100) / 25.4);
      const raster: DeviceRaster = {
        data: Uint16Array.from(device.map((d) => Math.round(65535 * d))),
        widthPx: 1,
        heightPx: 1,
        bits: 16,
        dpi: 100,
        originPx: [px(x), px(y)],
      };
      const { data } = linearise(raster, c);
      const matrix = c.calibration.matrix;
      const xyz = [0, 1, 2].map((k) => matrix[k][0] * data[0] + matrix[k][1] * data[1] + matrix[k][2] * data[2]);
      expect(c.calibration.model).toBe('linear');
      expect(deltaE2000(xyzToLab([xyz[0], xyz[1], xyz[2]]), lab)).toBeLessThan(0.08);
    }
  });
});
