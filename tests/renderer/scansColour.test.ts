/** Colours under the pointer: Lab rasters of a view, the map of differences, pins, and the target's points. */
import { differenceCiede2000 } from 'culori';
import { describe, expect, test } from 'vitest';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { colourUncertainty, differenceUncertainty, sharedDoubt } from '../../analysis/calibrate/uncertainty.ts';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { type LabD50, labD50 } from '../../analysis/colour/lab.ts';
import { LAB_RASTER_SCALE } from '../../analysis/colour/labRaster.ts';
import type { LabValue } from '../../analysis/quantity.ts';
import type { Point } from '../../analysis/raster/homography.ts';
import { HEAT_LIMITS, VEILS, heatClass, heatPicture, veilTone } from '../../renderer/scans/heatClasses.ts';
import { heatDifferences, labOfRaster } from '../../renderer/scans/heatDifferences.ts';
import { labPixel, labRequest, meanLab } from '../../renderer/scans/labView.ts';
import { type PinReading, pinDifference } from '../../renderer/scans/pinDifference.ts';
import {
  EMPTY_BOARD,
  pinAt,
  pinColour,
  referenceColour,
  withPin,
  withPinChanged,
  withPinMoved,
  withoutPin,
} from '../../renderer/scans/pins.ts';
import {
  POINT_NAMES,
  fourPoints,
  isUpToDate,
  servedBy,
  targetServing,
  targetsOn,
  withPoint,
} from '../../renderer/scans/targetsOn.ts';
import { worstPatches } from '../../renderer/scans/worstPatches.ts';
import { viewPlace } from '../../renderer/viewer/viewPlace.ts';
import { readVectors } from '../vectors/readVectors.ts';

function raster(colours: readonly LabValue[]): Int16Array {
  return Int16Array.from(colours.flat(), (value) => Math.round(value * LAB_RASTER_SCALE));
}

describe('the Lab raster of a view', () => {
  const scan = { width: 4960, height: 7016 };

  test('is asked for at the screen’s resolution, inside the scan', () => {
    const place = viewPlace({ x: 200, y: 3000, screenPerPx: 0.5 }, { width: 800, height: 600 });
    expect(labRequest(place, scan)).toEqual({ box: { x: 0, y: 2400, width: 1000, height: 1200 }, columns: 500 });
  });

  test('never finer than the scan, nor more than a megapixel', () => {
    const close = viewPlace({ x: 200, y: 3000, screenPerPx: 10 }, { width: 800, height: 600 });
    expect(labRequest(close, scan)).toEqual({ box: { x: 160, y: 2970, width: 80, height: 60 }, columns: 80 });
    const large = viewPlace({ x: 2480, y: 3508, screenPerPx: 1 }, { width: 3840, height: 2160 });
    const asked = labRequest(large, scan);
    expect(asked?.box).toMatchObject({ width: 3840, height: 2160 });
    const columns = asked?.columns ?? 0;
    expect(columns * Math.ceil((columns * 2160) / 3840)).toBeLessThanOrEqual(1.001e6);
    expect(columns).toBeGreaterThan(1300);
  });

  test('nothing is asked for when the scan is out of sight', () => {
    expect(labRequest(viewPlace({ x: -900, y: 0, screenPerPx: 1 }, { width: 800, height: 600 }), scan)).toBeNull();
  });

  test('a place of the scan lies in the pixel that covers it', () => {
    const view = { box: { x: 100, y: 200, width: 40, height: 20 }, columns: 20, rows: 10 };
    expect(labPixel(view, [100, 200])).toEqual([0, 0]);
    expect(labPixel(view, [139.9, 219.9])).toEqual([19, 9]);
    expect(labPixel(view, [140, 210])).toBeNull();
    expect(labPixel(view, [99.9, 210])).toBeNull();
  });

  test('a disc averages light, not Lab: black and white in equal parts are lighter than L* 50', () => {
    const view = {
      box: { x: 0, y: 0, width: 2, height: 1 },
      columns: 2,
      rows: 1,
      data: raster([
        [0, 0, 0],
        [100, 0, 0],
      ]),
    };
    const mean = meanLab(view, [1, 0.5], 1) ?? [0, 0, 0];
    // Y = 0.5 → L* 76.07 (CIE 15).
    expect(mean[0]).toBeCloseTo(76.07, 2);
    expect(mean[1]).toBeCloseTo(0, 6);
  });

  test('a disc smaller than a pixel reads that pixel; one beside the raster reads nothing', () => {
    const colours: LabValue[] = [
      [30, 10, -40],
      [94, 0, 2],
    ];
    const view = { box: { x: 0, y: 0, width: 20, height: 10 }, columns: 2, rows: 1, data: raster(colours) };
    const [L, a, b] = meanLab(view, [19, 1], 0.5) ?? [0, 0, 0];
    expect([L, a, b].map((value) => Math.round(100 * value) / 100 + 0)).toEqual([94, 0, 2]);
    expect(meanLab(view, [21, 1], 3)).toBeNull();
  });
});

describe('the map of differences', () => {
  /** Sharma, Wu & Dalal (2005), Color Res. Appl. 30(1), 21–30, Table 1. */
  const pairs = readVectors('ciede2000_sharma2005.csv', { rows: 34, sha256: '9ceaeaaa69a1' }).map((row) => ({
    lab1: row.numbers('L1', 'a1', 'b1'),
    lab2: row.numbers('L2', 'a2', 'b2'),
    published: row.number('dE00_published'),
  }));
  const culori = differenceCiede2000();

  test.each(pairs)(
    'a raster of $lab1 against $lab2 differs by the published $published',
    ({ lab1, lab2, published }) => {
      const out = new Float32Array(1);
      const stored = raster([lab1]);
      heatDifferences(labOfRaster(stored), lab2, out);
      // The raster keeps hundredths: what it says is right for the colour that it holds …
      const [L, a, b] = Array.from(stored, (value) => value / LAB_RASTER_SCALE);
      const held = culori({ mode: 'lab65', l: L, a, b }, { mode: 'lab65', l: lab2[0], a: lab2[1], b: lab2[2] });
      expect(Math.abs(out[0] - held)).toBeLessThan(0.002);
      // … and within what hundredths can do for the published one (most where two all but neutral hues are opposite).
      expect(Math.abs(out[0] - published)).toBeLessThan(0.06);
    },
  );

  test('a difference on a limit belongs above it', () => {
    expect([0, 0.99, 1, 1.99, 2, 4.99, 5, 9.99, 10, 80].map(heatClass)).toEqual([0, 0, 1, 1, 2, 2, 3, 3, 4, 4]);
    expect(VEILS).toHaveLength(HEAT_LIMITS.length + 1);
    expect([...VEILS].sort((p, q) => p - q)).toEqual([...VEILS]);
  });

  const [columns, rows] = [9, 6];
  const halves = Float32Array.from({ length: columns * rows }, (_, i) => (i % columns < 4 ? 0.2 : 30));
  const pixel = (picture: Uint8ClampedArray, column: number, row: number): number[] =>
    Array.from(picture.subarray(4 * (row * columns + column), 4 * (row * columns + column) + 4));

  test('near stays clear, far is veiled, in greys alone', () => {
    const picture = heatPicture(halves, columns, rows, 'dark');
    expect(pixel(picture, 0, 3)[3]).toBe(0);
    expect(pixel(picture, 8, 3)[3]).toBe(Math.round(255 * VEILS[4]));
    for (let i = 0; i < picture.length; i += 4) {
      expect(picture[i + 1]).toBe(picture[i]);
      expect(picture[i + 2]).toBe(picture[i]);
    }
  });

  test('lines run where a step is crossed, and nowhere in an even field', () => {
    const lineGrey = 243;
    const linesIn = (values: Float32Array): number =>
      heatPicture(values, columns, rows, 'dark').filter((grey, i) => i % 4 === 0 && grey === lineGrey).length;
    expect(linesIn(halves)).toBeGreaterThanOrEqual(rows);
    expect(linesIn(new Float32Array(columns * rows).fill(7))).toBe(0);
  });

  test('one fibre draws no line', () => {
    const fibre = new Float32Array(columns * rows).fill(0.2);
    fibre[2 * columns + 3] = 3;
    const picture = heatPicture(fibre, columns, rows, 'dark');
    expect(picture.some((value, i) => i % 4 === 3 && value > 0)).toBe(false);
  });

  test('dark inks are veiled light, pale papers dark', () => {
    expect(veilTone(20)).toBe('light');
    expect(veilTone(95)).toBe('dark');
    expect(pixel(heatPicture(halves, columns, rows, 'light'), 8, 3)[0]).toBeGreaterThan(
      pixel(heatPicture(halves, columns, rows, 'dark'), 8, 3)[0],
    );
  });
});

describe('pins', () => {
  const spot = { scan: 'white', xPx: 10, yPx: 20, glimpse: [40, 5, -20] as LabValue };
  const two = withPin(withPin(EMPTY_BOARD, spot), { ...spot, xPx: 50 });

  test('the first is the reference; another takes over when it goes', () => {
    expect(two.reference).toBe(1);
    expect(withoutPin(two, 1).reference).toBe(2);
    expect(withoutPin(two, 2).reference).toBe(1);
    expect(withoutPin(withoutPin(two, 1), 2)).toMatchObject({ pins: [], reference: null });
  });

  test('a number is not used twice while a later pin stands', () => {
    expect(withPin(withoutPin(two, 1), spot).pins.map(({ id }) => id)).toEqual([2, 3]);
  });

  test('a pin that is moved forgets its reading and keeps a colour in sight', () => {
    const read = withPinChanged(two, 1, {
      probe: {
        xPx: 10,
        yPx: 20,
        radiusPx: 5,
        pixels: 80,
        bits: 16,
        device: [1, 2, 3],
        lab: [41, 5, -20],
        u: null,
        noise: [0, 0, 0],
        shared: { alone: 0, teaching: 1, worse: 1, share: 0, lightness: 50, outside: 1 },
        name: 'blue',
        colours: 'profile',
        key: 'k',
        flags: [],
      },
    });
    expect(referenceColour(read)).toEqual([41, 5, -20]);
    const dragged = withPinMoved(read, 1, [12, 20], [60, 0, 0]);
    expect(dragged.pins[0]).toMatchObject({ probe: null, xPx: 12, asked: '' });
    expect(referenceColour(dragged)).toEqual([60, 0, 0]);
    // Beside the raster nothing is seen: the last colour stays.
    expect(pinColour(withPinMoved(read, 1, [12, 20], null).pins[0])).toEqual([41, 5, -20]);
  });

  test('the nearest within reach on the same scan is under the pointer', () => {
    expect(pinAt(two, 'white', [44, 20], 9)?.id).toBe(2);
    expect(pinAt(two, 'white', [30, 20], 9)).toBeNull();
    expect(pinAt(two, 'yellow', [50, 20], 9)).toBeNull();
  });

  test('a difference carries what its colours’ uncertainties make of it', () => {
    const paper = pinned([94, 0, 2], [0.2, 0.1, 0.1], 'one');
    const ink = pinned([30, 10, -40], [0.3, 0.2, 0.2], 'another');
    const both = pinDifference(paper, ink);
    expect(both.value).toBeCloseTo(deltaE2000(labD50(94, 0, 2), labD50(30, 10, -40)), 9);
    expect(both.u).toBeGreaterThan(0.1);
    expect(both.u).toBeLessThan(0.6);
    const alike = pinDifference(paper, { ...paper, key: 'another' });
    expect(alike.value).toBe(0);
    expect(alike.u).toBeGreaterThan(0.1);
    expect(pinDifference(paper, { ...ink, u: null }).u).toBeNull();
    const twice = pinDifference({ ...paper, u: [0.4, 0.2, 0.2] }, { ...ink, u: [0.6, 0.4, 0.4] });
    expect((twice.u ?? 0) / (both.u ?? 1)).toBeCloseTo(2, 1);
  });

  test('through one calibration two colours are as sure as two samples of an ink, and what both share is not counted twice', () => {
    const [one, other] = [labD50(40, 12, -38), labD50(42, 11, -36)];
    const noise: LabValue = [0.03, 0.04, 0.05];
    const at = (lab: LabD50, scan: string) => ({
      ...pinned([lab[0], lab[1], lab[2]], colourUncertainty(lab, nominalCalibration), 'one'),
      shared: sharedDoubt(lab, nominalCalibration),
      noise,
      scan,
    });
    const apart = pinDifference({ ...at(one, 'white'), key: 'another' }, at(other, 'white')).u ?? 0;
    for (const [scan, common] of [
      ['white', 'one paper'],
      ['yellow', 'two papers'],
    ] as const) {
      const { u } = pinDifference(at(one, 'white'), at(other, scan));
      const calibration = differenceUncertainty(one, other, nominalCalibration, common);
      expect(u).toBeGreaterThan(calibration);
      expect(u).toBeLessThan(calibration + 0.1);
      expect(u).toBeLessThan(0.3 * apart);
    }
    // The very same colour differs by nothing but noise: both ways of each component, twice.
    const same = pinDifference(at(one, 'white'), at(one, 'white'));
    expect(same.value).toBe(0);
    expect(same.u).toBeLessThan(Math.SQRT2 * Math.hypot(...noise));
    expect(same.u).toBeGreaterThan(0.02);
    expect(pinDifference({ ...at(one, 'white'), noise: [0, 0, 0] }, { ...at(one, 'white'), noise: [0, 0, 0] }).u).toBe(
      0,
    );
  });
});

/** Through a calibration of that key, with nothing in common and no noise. */
function pinned(lab: LabValue, u: LabValue, key: string): PinReading {
  return {
    lab,
    u,
    key,
    scan: 'white',
    noise: [0, 0, 0],
    shared: { alone: 0, teaching: 0, worse: 1, share: 0, lightness: 50, outside: 1 },
  };
}

describe('targets', () => {
  const own = { scan: 'strip', layout: 'l', reference: 'r' };
  const shared = { scan: 'target', layout: 'l', reference: 'r' };
  const work = {
    target: shared,
    scans: [
      { id: 'white', target: null },
      { id: 'strip', target: own },
      { id: 'target', target: null },
    ],
  };

  test('which lies on a scan, which serves it, and whom each serves', () => {
    expect(targetsOn(work, 'target')).toEqual([{ serves: 'all', target: shared }]);
    expect(targetsOn(work, 'white')).toEqual([]);
    expect(targetServing(work, 'white')).toEqual({ serves: 'all', target: shared });
    expect(targetServing(work, 'strip')).toEqual({ serves: 'strip', target: own });
    expect(targetServing({ ...work, target: null }, 'white')).toBeNull();
    expect(servedBy(work, { serves: 'all', target: shared })).toEqual(['white', 'target']);
    expect(servedBy(work, { serves: 'strip', target: own })).toEqual(['strip']);
  });

  test('a calibration with other points than the document’s is an old one', () => {
    const pointsMm = [
      [1, 1],
      [9, 1],
      [9, 5],
      [1, 5],
    ] as const;
    const used = pointsMm.map(([x, y]): Point => [10 * x, 10 * y + 0.4]);
    expect(isUpToDate({ found: false, pointsPx: used }, { ...shared, pointsMm }, 10)).toBe(true);
    expect(isUpToDate({ found: false, pointsPx: used }, { ...shared, pointsMm }, 11)).toBe(false);
    expect(isUpToDate({ found: true, pointsPx: used }, shared, 10)).toBe(true);
    // Found again is asked for, and the points set by hand still serve.
    expect(isUpToDate({ found: false, pointsPx: used }, shared, 10)).toBe(false);
  });

  test('of points by hand one moves alone', () => {
    const points = [
      [20, 10],
      [80, 10],
      [80, 40],
      [20, 40],
    ] as const;
    expect(withPoint(points, 2, [81, 42])[2]).toEqual([81, 42]);
    expect(withPoint(points, 2, [81, 42])[1]).toEqual([80, 10]);
    expect(fourPoints(points.slice(0, 3))).toBeNull();
    expect(POINT_NAMES).toHaveLength(4);
  });

  test('the worst patches are few, worst first, and none where all are well told', () => {
    const patch = (id: string, dE00LeftOut: number) => ({
      id,
      cornersPx: [],
      reference: [50, 0, 0] as LabValue,
      leftOut: [50, 0, 0] as LabValue,
      dE00LeftOut,
      flags: [],
    });
    const patches = [patch('a', 0.4), patch('b', 2.5), patch('c', 6), patch('d', 3), patch('e', 2.1)];
    expect(worstPatches(patches).map(({ id }) => id)).toEqual(['c', 'd', 'b']);
    expect(worstPatches(patches.slice(0, 1))).toEqual([]);
  });
});
