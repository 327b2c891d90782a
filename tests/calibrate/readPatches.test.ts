import { describe, expect, it } from 'vitest';
import { fillFreeCard } from '../../analysis/calibrate/freeCard.ts';
import { CalibrationError } from '../../analysis/calibrate/calibrationError.ts';
import { patchReader, surroundReader } from '../../analysis/calibrate/readPatches.ts';
import { homography, type Point } from '../../analysis/raster/homography.ts';
import type { DeviceRaster } from '../../analysis/raster/raster.ts';
import { drawCard, smallLayout, type Drawing, type DrawnScan } from './drawnCard.ts';
import { readPatches, readSurround } from './readWhole.ts';

/** The drawn grey as three channels that differ by known factors. */
function rasterOf(scan: DrawnScan, bits: 8 | 16 = 16): DeviceRaster {
  const top = bits === 8 ? 255 : 65535;
  const data = bits === 8 ? new Uint8Array(3 * scan.grey.length) : new Uint16Array(3 * scan.grey.length);
  scan.grey.forEach((value, i) => {
    data[3 * i] = Math.round(top * Math.min(1, value));
    data[3 * i + 1] = Math.round(top * Math.min(1, 0.9 * value));
    data[3 * i + 2] = Math.round(top * Math.min(1, 0.8 * value));
  });
  return { data, widthPx: scan.widthPx, heightPx: scan.heightPx, bits, dpi: scan.dpi, originPx: [0, 0] };
}

const drawn = (drawing: Drawing) => {
  const scan = drawCard(smallLayout, { sizeMm: [58, 48], ...drawing });
  return { scan, toPx: homography(smallLayout.pointsMm, scan.pointsPx) };
};
const levelOf = (i: number): number => 0.12 + 0.045 * i;

describe('patches', () => {
  it.each([
    [150, 0],
    [150, 77],
    [300, 184],
    [400, 12],
  ])('are read at %i dpi and %i°', (dpi, turnDeg) => {
    const { scan, toPx } = drawn({ dpi, turnDeg, patch: levelOf, noise: 0.01, sizeMm: [60, 60] });
    const readings = readPatches(rasterOf(scan), smallLayout, toPx);
    expect(readings.map((reading) => reading.id)).toEqual(smallLayout.patches.map((patch) => patch.id));
    readings.forEach((reading, i) => {
      [1, 0.9, 0.8].forEach((share, c) => expect(reading.device[c]).toBeCloseTo(share * levelOf(i), 2));
      expect(reading.sd[0]).toBeGreaterThan(0.003);
      expect(reading.sd[0]).toBeLessThan(0.008);
      expect(reading.clippedShare).toBe(0);
      const [x, y, w, h] = smallLayout.patches[i].boxMm;
      const [px, py] = scan.toPx([x + w / 2, y + h / 2]);
      expect(reading.centreMm[0]).toBeCloseTo((px * 25.4) / dpi, 6);
      expect(reading.centreMm[1]).toBeCloseTo((py * 25.4) / dpi, 6);
    });
    // 60 % of 4.2 mm each way
    expect(readings[0].pixels).toBeGreaterThan(0.9 * ((2.52 * dpi) / 25.4) ** 2);
    expect(readings[0].pixels).toBeLessThan(1.1 * ((2.52 * dpi) / 25.4) ** 2);
  });

  it('keep their value under dust', () => {
    const [x, y] = smallLayout.patches[8].boxMm;
    const dust = [[x + 2.1, y + 2.3, 0.25]] as const;
    const { scan, toPx } = drawn({ dpi: 300, patch: () => 0.7, blobs: dust });
    expect(readPatches(rasterOf(scan), smallLayout, toPx)[8].device[0]).toBeCloseTo(0.7, 4);
  });

  it('say how much of them is clipped', () => {
    const { scan, toPx } = drawn({ dpi: 150, patch: (i) => (i === 2 ? 1.01 : i === 3 ? 0 : 0.5) });
    const readings = readPatches(rasterOf(scan, 8), smallLayout, toPx);
    expect(readings.map((reading) => reading.clippedShare)).toEqual(
      readings.map((_, i) => (i === 2 || i === 3 ? 1 : 0)),
    );
  });

  it('count from the scan’s corner, not the raster’s', () => {
    const { scan, toPx } = drawn({ dpi: 150 });
    const [a] = readPatches(rasterOf(scan), smallLayout, toPx);
    const [b] = readPatches({ ...rasterOf(scan), originPx: [300, 60] }, smallLayout, toPx);
    expect(b.centreMm[0] - a.centreMm[0]).toBeCloseTo((300 * 25.4) / 150, 9);
    expect(b.centreMm[1] - a.centreMm[1]).toBeCloseTo((60 * 25.4) / 150, 9);
  });

  it('too small or outside are refused in words', () => {
    const { scan, toPx } = drawn({ dpi: 150 });
    const tiny = { ...smallLayout, patches: [{ id: 'T', boxMm: [10, 10, 1, 1] as const }] };
    expect(() => readPatches(rasterOf(scan), tiny, toPx)).toThrow(/Patch T .* covers \d+ pixels at 150 dpi/);
    const off = { ...smallLayout, patches: [{ id: 'T', boxMm: [90, 10, 5, 5] as const }] };
    expect(() => readPatches(rasterOf(scan), off, toPx)).toThrow(CalibrationError);
    expect(() => readPatches(rasterOf(scan), off, toPx)).toThrow(/Patch T .* outside the scan/);
  });
});

describe('the bare card', () => {
  it('begins 0.6 mm and the blur from patches and discs, and ends at the outline', () => {
    const free = fillFreeCard(smallLayout, 0.2);
    const [x, y, w] = smallLayout.patches[7].boxMm;
    for (const [distance, bare] of [
      [0.65, false],
      [0.95, true],
    ] as const) {
      expect(free.holds(x + w + distance, y + 2)).toBe(bare);
      expect(free.holds(x + 2, y - distance)).toBe(bare);
      expect(free.holds(44 - 2 - distance, 0.05)).toBe(bare);
      expect(free.holds(0.05, 26 - 2 - distance)).toBe(bare);
    }
    expect(free.holds(-0.1, 13)).toBe(false);
    expect(free.holds(22, 26.1)).toBe(false);
    expect(free.holds(0.1, 13)).toBe(true);
  });

  it('is read clear of everything printed, at any turn', () => {
    const { scan, toPx } = drawn({ dpi: 300, turnDeg: 24, patch: () => 0.05, sizeMm: [60, 56] });
    const surround = readSurround(rasterOf(scan), smallLayout, toPx);
    expect(surround.length).toBeGreaterThanOrEqual(12);
    for (const { device } of surround) expect(device[0]).toBeCloseTo(0.93, 3);
  });

  it('lies where it is said to lie', () => {
    const { scan, toPx } = drawn({ dpi: 300, turnDeg: 5 });
    for (let i = 0; i < scan.grey.length; i++) scan.grey[i] *= 0.8 + (0.2 * (i % scan.widthPx)) / scan.widthPx;
    for (const { device, placeMm } of readSurround(rasterOf(scan), smallLayout, toPx)) {
      const share = 0.8 + (0.2 * ((placeMm[0] * 300) / 25.4)) / scan.widthPx;
      expect(device[0]).toBeCloseTo(0.93 * share, 2);
    }
  });

  it('is not swayed by dirt, and gives nothing where it is clipped', () => {
    const dirt: [number, number, number][] = [
      [3.2, 8, 0.2],
      [20, 24.5, 0.2],
      [30, 2, 0.3],
    ];
    const clean = drawn({ dpi: 300 });
    const dirty = drawn({ dpi: 300, blobs: dirt });
    const a = readSurround(rasterOf(clean.scan), smallLayout, clean.toPx);
    const b = readSurround(rasterOf(dirty.scan), smallLayout, dirty.toPx);
    expect(b).toHaveLength(a.length);
    b.forEach((reading, i) => expect(reading.device[0]).toBeCloseTo(a[i].device[0], 3));
    const white = { ...clean.scan, grey: clean.scan.grey.map((value) => (value > 0.9 ? 1 : value)) };
    expect(readSurround(rasterOf(white), smallLayout, clean.toPx)).toHaveLength(0);
  });

  it('a target whose patches touch has none between them', () => {
    const patches = Array.from({ length: 24 }, (_, i) => ({
      id: `T${i}`,
      boxMm: [6 * (i % 6), 6 * Math.floor(i / 6), 6, 6] as const,
    }));
    const pointsMm: [Point, Point, Point, Point] = [
      [0, 0],
      [36, 0],
      [36, 24],
      [0, 24],
    ];
    const layout = { format: 'wetline-target/1' as const, name: 'tight', pointsMm, patches };
    const scan = drawCard(layout, { dpi: 150, sizeMm: [58, 48] });
    expect(readSurround(rasterOf(scan), layout, homography(pointsMm, scan.pointsPx))).toEqual([]);
  });
});

describe('from bands', () => {
  it.each([1, 7, 64])('of %i rows each number is the same as from the whole', (rows) => {
    const { scan, toPx } = drawn({ dpi: 150, turnDeg: 12, patch: levelOf, noise: 0.01, sizeMm: [60, 60] });
    const whole = rasterOf(scan);
    const readers = [patchReader(whole, smallLayout, toPx), surroundReader(whole, smallLayout, toPx)] as const;
    for (const reader of readers) {
      const [left, top, width, height] = reader.boxPx;
      for (let y = top; y < top + height; y += rows) {
        reader.take(partOf(whole, [left, y, width, Math.min(rows, top + height - y)]));
      }
    }
    expect(readers[0].done()).toEqual(readPatches(whole, smallLayout, toPx));
    expect(readers[1].done()).toEqual(readSurround(whole, smallLayout, toPx));
    expect(readers[1].done().length).toBeGreaterThan(0);
  });
});

function partOf(
  { data, widthPx, bits, dpi }: DeviceRaster,
  [left, top, width, height]: readonly [number, number, number, number],
): DeviceRaster {
  const part = bits === 8 ? new Uint8Array(3 * width * height) : new Uint16Array(3 * width * height);
  for (let y = 0; y < height; y++) {
    const from = 3 * ((top + y) * widthPx + left);
    part.set(data.subarray(from, from + 3 * width), 3 * y * width);
  }
  return { data: part, widthPx: width, heightPx: height, bits, dpi, originPx: [left, top] };
}
