/** Strokes across a printed bar from a file: found, measured, and told of as the pen's layer. */
import { beforeAll, expect, test } from 'vitest';
import { srgbEncode } from '../../analysis/colour/srgb.ts';
import type { Quantity } from '../../analysis/quantity.ts';
import { findBarePaper } from '../../electron/jobs/findBarePaper.ts';
import { measureRegion } from '../../electron/jobs/measureRegion.ts';
import { measureWith } from '../../electron/jobs/measureSheet.ts';
import type { TaskRunner } from '../../electron/jobs/tasks.ts';
import { loadSheet } from '../../electron/sheet/sheet.ts';
import { drawBarPage } from '../../study/barPages.ts';
import { drawPng } from '../host/drawPng.ts';
import { testFolder } from '../host/folder.ts';

const folder = testFolder();
const page = drawBarPage(5, { kind: 'strokes', dpi: 300 });
let findings: readonly Quantity[] = [];
let problems: readonly unknown[] = [];

beforeAll(async () => {
  const { data, widthPx, heightPx } = page.raster;
  const samples = Uint8Array.from(data, (v) => Math.round(255 * srgbEncode(Math.min(1, Math.max(0, v)))));
  folder.put('bar.png', drawPng({ widthPx, heightPx, samples, pixelsPerMetre: [11811, 11811] }));
  const sheet = {
    format: 'wetline-sheet/1',
    scans: [{ id: 'page', file: 'bar.png', paper: 'white' }],
    regions: [
      {
        id: 'm-bar',
        scan: 'page',
        kind: 'bar',
        nib: 'M',
        boxMm: [0, 0, (widthPx * 25.4) / 300, (heightPx * 25.4) / 300],
      },
    ],
  };
  const loaded = await loadSheet(folder.put('sheet.json', JSON.stringify(sheet)));
  const refused = () => Promise.reject(new Error('no target, no picture'));
  const runner: TaskRunner = {
    calibrate: refused,
    paper: findBarePaper,
    region: measureRegion,
    film: refused,
    overlay: refused,
  };
  ({ findings, problems } = await measureWith(runner, loaded, {}));
});

const of = (quantity: string) => findings.find((one) => one.quantity === quantity)!;

test('its contrast ratio is near the drawn one, though nothing but sRGB says what the scanner means', () => {
  expect(problems).toEqual([]);
  const { value, flags, subject } = of('contrastRatio');
  expect(subject.regions).toEqual(['m-bar']);
  expect(flags).toContain('uncalibrated');
  expect(Math.abs(Number(value) - page.truth)).toBeLessThan(0.04);
});

test('black and white under one pass tell the layer, and what standard grounds would show of it', () => {
  expect(of('film')).toMatchObject({ subject: { regions: ['m-bar'] }, method: 'film/2' });
  expect(of('film').flags).toEqual(['uncalibrated', 'by-grounds']);
  expect(Number(of('film').value)).toBeGreaterThan(0);
  expect(Number(of('film').value)).toBeLessThan(1);
  expect(Number(of('contrastRatio.predicted').u)).toBeGreaterThan(0);
});
