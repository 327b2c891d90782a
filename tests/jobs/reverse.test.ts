/** A page's two sides from files: measured against each other, and each finding knows both scans that it came from. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import { join } from 'node:path';
import { srgbEncode } from '../../analysis/colour/srgb.ts';
import type { Quantity } from '../../analysis/quantity.ts';
import type { LinearRaster } from '../../analysis/raster/raster.ts';
import { findBarePaper } from '../../electron/jobs/findBarePaper.ts';
import { measureRegion } from '../../electron/jobs/measureRegion.ts';
import { measureWith } from '../../electron/jobs/measureSheet.ts';
import { taskKey } from '../../electron/jobs/rememberingRunner.ts';
import type { RegionTask, TaskRunner } from '../../electron/jobs/tasks.ts';
import { loadSheet } from '../../electron/sheet/sheet.ts';
import { drawBackPage } from '../../study/backPages.ts';
import { drawPng } from '../host/drawPng.ts';
import { testFolder } from '../host/folder.ts';

const folder = testFolder();
const page = drawBackPage(21, {
  widthMm: 46,
  heightMm: 20,
  frontDpi: 300,
  backDpi: 300,
  ghost: 0.12,
  dots: 3,
  lineMm: 0.8,
});
let findings: readonly Quantity[] = [];
const tasks: RegionTask[] = [];

function png({ data, widthPx, heightPx, dpi }: LinearRaster): Uint8Array {
  const samples = Uint8Array.from(data, (v) => Math.round(255 * srgbEncode(Math.max(0, v))));
  const perMetre = Math.round((dpi / 25.4) * 1000);
  return drawPng({ widthPx, heightPx, samples, pixelsPerMetre: [perMetre, perMetre] });
}

beforeAll(async () => {
  folder.put('front.png', png(page.front));
  folder.put('back.png', png(page.back));
  const box = (raster: LinearRaster) => [
    0,
    0,
    (raster.widthPx * 25.4) / raster.dpi,
    (raster.heightPx * 25.4) / raster.dpi,
  ];
  const sheet = {
    format: 'wetline-sheet/1',
    scans: [
      { id: 'front', file: 'front.png', paper: 'thin', side: 'front' },
      { id: 'back', file: 'back.png', paper: 'thin', side: 'back', of: 'front' },
    ],
    regions: [
      { id: 'm', scan: 'front', kind: 'strokes', nib: 'M', boxMm: box(page.front) },
      { id: 'm-back', scan: 'back', kind: 'reverse', of: 'm', boxMm: box(page.back) },
      { id: 'alone', scan: 'back', kind: 'reverse', boxMm: box(page.back) },
    ],
  };
  const loaded = await loadSheet(folder.put('sheet.json', JSON.stringify(sheet)));
  const refused = () => Promise.reject(new Error('no target, no picture'));
  const runner: TaskRunner = {
    calibrate: refused,
    paper: findBarePaper,
    region: (task) => {
      tasks.push(task);
      return measureRegion(task);
    },
    film: refused,
    overlay: refused,
  };
  ({ findings } = await measureWith(runner, loaded, {}));
});
afterAll(() => tasks.splice(0));

function of(region: string, quantity: string): Quantity {
  return findings.find((q) => q.quantity === quantity && q.subject.regions[0] === region)!;
}

test('what shows through is told against the front, dots apart', () => {
  const ghosting = of('m-back', 'ghosting');
  // Without a target the lightness itself is read as sRGB, its differences hardly suffer.
  expect(Math.abs(Number(ghosting.value) - page.truth.ghosting)).toBeLessThan(0.15 * page.truth.ghosting + 0.2);
  expect(ghosting.flags).toContain('uncalibrated');
  expect(of('m-back', 'bleedThrough.dots').value).toBe(page.truth.dots);
  expect(of('alone', 'ghosting').flags).toContain('no-front');
  expect(of('alone', 'bleedThrough.dots').value).toBeNull();
});

test('a reverse is measured anew when its front’s file is another one', () => {
  const reverse = tasks.find(({ id }) => id === 'm-back')!;
  const key = (front: string) => taskKey(reverse, (file) => (file === join(folder.path, 'front.png') ? front : 'same'));
  expect(key('one')).toBe(key('one'));
  expect(key('one')).not.toBe(key('another'));
});
