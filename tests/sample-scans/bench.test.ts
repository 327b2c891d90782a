/** Whole benches: same seed, same bench; parts are drawn apart; files are in the contract's form; truth fits the pixels. */
import { createHash } from 'node:crypto';
import { describe, expect, test } from 'vitest';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { labD50 } from '../../analysis/colour/lab.ts';
import { parseLayout } from '../../electron/sheet/layout.ts';
import { parseReference } from '../../electron/sheet/reference.ts';
import { sheetSchema } from '../../electron/sheet/sheetSchema.ts';
import { renderBench } from '../../sample-scans/generator/bench.ts';
import type { Bench } from '../../sample-scans/generator/bench.ts';
import type { BenchOptions } from '../../sample-scans/generator/options.ts';

const strip: BenchOptions = { scans: ['strip-fresh'], dpi: 150 };

function hashes(bench: Bench): string[] {
  return bench.scans.map(({ raster }) => createHash('sha256').update(raster.data).digest('hex'));
}

describe('seeds', () => {
  const first = renderBench(11, strip);

  test('the same seed gives the same bench to the last bit, another seed another', () => {
    const again = renderBench(11, strip);
    expect(hashes(again)).toEqual(hashes(first));
    expect(again.truth).toEqual(first.truth);
    expect(hashes(renderBench(12, strip))).not.toEqual(hashes(first));
  });

  test('a scan does not depend on which others are rendered with it', () => {
    const alone = renderBench(11, { ...strip, scans: ['strip-dried'] });
    const both = renderBench(11, { ...strip, scans: ['strip-fresh', 'strip-dried'] });
    expect(hashes(both)[1]).toBe(hashes(alone)[0]);
  });

  test('another scanner sees the same ink, and the same ink is true', () => {
    const other = renderBench(11, { ...strip, scannerSeed: 99 });
    expect(other.truth.ink).toEqual(first.truth.ink);
    expect(other.truth.strips).toEqual(first.truth.strips);
    expect(other.truth.scanner).not.toEqual(first.truth.scanner);
    expect(hashes(other)).not.toEqual(hashes(first));
  });

  test('truth does not depend on resolution', () => {
    const coarse = renderBench(11, { ...strip, scans: ['yellow'], dpi: 150 }).truth.pages.yellow.regions;
    // 254 dpi has another grid of fine cells (508 per inch; 150 dpi has 600).
    const fine = renderBench(11, { ...strip, scans: ['yellow'], dpi: 254 }).truth.pages.yellow.regions;
    const apart = Object.entries(fine).flatMap(([id, region]) => {
      const other = coarse[id].colour;
      if (!region.colour || !other) return [];
      return [deltaE2000(labD50(...region.colour.inkColour), labD50(...other.inkColour))];
    });
    expect(apart.length).toBe(5);
    expect(Math.max(...apart)).toBeLessThan(0.1);
  });
});

describe('a whole small bench', () => {
  const bench = renderBench(21, { dpi: 150 });

  test('has a sheet that the contract accepts, with every box inside its scan', () => {
    const sheet = sheetSchema.parse(JSON.parse(JSON.stringify(bench.sheet)));
    expect(sheet.scans.map((s) => s.id)).toEqual(['white', 'yellow', 'strip-fresh', 'strip-dried']);
    expect(sheet.regions.map((r) => r.id)).toEqual([
      'bare-white',
      'ef-white',
      'm-white',
      'b-white',
      'swab-even-white',
      'swab-graded-white',
      'bare-yellow',
      'ef-yellow',
      'm-yellow',
      'b-yellow',
      'swab-even-yellow',
      'swab-graded-yellow',
      'fresh',
      'dried',
    ]);
    const outside = bench.sheet.regions.filter((region) => {
      const raster = bench.scans.find((s) => s.id === region.scan)?.raster;
      const [x, y, w, h] = region.boxMm;
      const pxPerMm = 150 / 25.4;
      return !raster || x < 0 || y < 0 || (x + w) * pxPerMm > raster.widthPx || (y + h) * pxPerMm > raster.heightPx;
    });
    expect(outside).toEqual([]);
  });

  test('has a layout and references that the program reads; the instrument errs by about 0.1', () => {
    const card = bench.card;
    const exact = bench.truth.target?.patches ?? {};
    if (!card) throw new Error('no card');
    const layout = parseLayout(JSON.stringify(card.layout), 'layout.json');
    expect(layout.patches.filter((p) => p.grey).length).toBe(24);
    expect(layout.patches.length).toBe(96);
    const lab = parseReference(card.referenceText, 'reference.txt').patches;
    const spectra = parseReference(card.referenceSpectraText, 'reference-spectra.txt').patches;
    const errors: number[] = [];
    for (const { id } of layout.patches) {
      const measured = lab.get(id)?.lab;
      const bySpectrum = spectra.get(id);
      if (!measured || !bySpectrum) throw new Error(`${id} is missing`);
      errors.push(...measured.map((v, c) => v - exact[id][c]));
      expect(deltaE2000(measured, bySpectrum.lab)).toBeLessThan(0.05);
      expect(bySpectrum.reflectance?.values.length).toBe(36);
    }
    const sd = Math.sqrt(errors.reduce((sum, e) => sum + e * e, 0) / errors.length);
    expect(sd).toBeGreaterThan(0.04);
    expect(sd).toBeLessThan(0.2);
  });

  test('has true places for the discs: the middle of the darkness is there', () => {
    const target = bench.truth.target;
    const raster = bench.scans[0].raster;
    if (!target) throw new Error('no target');
    for (const [x, y] of target.fiducialsPx) {
      const reach = Math.round((3.4 * 150) / 25.4);
      let weight = 0;
      let sx = 0;
      let sy = 0;
      for (let j = Math.round(y) - reach; j < Math.round(y) + reach; j++) {
        for (let i = Math.round(x) - reach; i < Math.round(x) + reach; i++) {
          const dark = Math.max(0, 0.6 * 65535 - raster.data[3 * (j * raster.widthPx + i) + 1]);
          weight += dark;
          sx += dark * (i + 0.5);
          sy += dark * (j + 0.5);
        }
      }
      expect(Math.hypot(sx / weight - x, sy / weight - y)).toBeLessThan(0.15);
    }
  });

  test('names bands by rising R_F, with shares that leave room for the origin', () => {
    for (const { bands, originRetainedPercent } of Object.values(bench.truth.strips)) {
      bands.slice(1).forEach((band, i) => expect(band.rf).toBeGreaterThan(bands[i].rf));
      const whole = bands.reduce((sum, band) => sum + band.sharePercent, originRetainedPercent);
      expect(whole).toBeCloseTo(100, 6);
    }
    expect(bench.truth.strips.dried.originRetainedPercent).toBeGreaterThan(
      bench.truth.strips.fresh.originRetainedPercent,
    );
  });
});

describe('options', () => {
  test('a blank strip has an origin and a front and no bands', () => {
    const bench = renderBench(5, { ...strip, blankStrip: true });
    expect(bench.truth.strips.fresh.bands).toEqual([]);
    expect(bench.truth.strips.fresh.originRetainedPercent).toBe(0);
  });

  test.each(['up', 'down', 'left', 'right'] as const)(
    'travel %s: front and origin as the contract counts them',
    (travel) => {
      const { originMm, frontMm, travelledMm } = renderBench(5, { ...strip, travel }).truth.strips.fresh;
      const forward = travel === 'down' || travel === 'right';
      expect((frontMm - originMm) * (forward ? 1 : -1)).toBeCloseTo(travelledMm, 1);
    },
  );

  test.each([1, 2, 4])('an ink of %i dyes parts into as many bands', (dyes) => {
    expect(renderBench(5, { ...strip, dyes }).truth.strips.fresh.bands.length).toBe(dyes);
  });

  test('no target: no card, no target in the sheet', () => {
    const bench = renderBench(5, { target: false, scans: ['target', 'strip-fresh'], dpi: 150 });
    expect(bench.card).toBeNull();
    expect('target' in bench.sheet).toBe(false);
  });

  test('fields are kept on request', () => {
    const bench = renderBench(5, { scans: ['yellow'], dpi: 150, keepFields: true });
    expect([...bench.fields.keys()]).toContain('b-yellow');
    expect(bench.fields.get('b-yellow')?.layers.some((n) => n === 2)).toBe(true);
  });
});
