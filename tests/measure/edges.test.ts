/** Edges of strokes against exact drawings, and against the definitions of print-quality norms. */
import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { compileCalibration } from '../../analysis/calibrate/apply.ts';
import { nominalCalibration } from '../../analysis/calibrate/nominal.ts';
import { deltaE2000 } from '../../analysis/colour/deltaE.ts';
import { labD50 } from '../../analysis/colour/lab.ts';
import { barePaperOf } from '../../analysis/measure/barePaper.ts';
import { measureStrokes } from '../../analysis/measure/ink.ts';
import type { EdgeMeasure } from '../../analysis/measure/edge/measureEdges.ts';
import type { Quantity, QuantityName } from '../../analysis/quantity.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import type { Stroke } from '../../study/edges/drawStrokes.ts';
import { type Edges, pathOf, sineEdge, smoothEdge, strokeAlong } from '../../study/edges/strokeShapes.ts';
import { edgeRows, measureDrawing } from '../../study/edges/trial.ts';
import { flatPaperOf } from '../../study/edges/worlds.ts';
import { writtenEdges } from '../../study/edges/handwriting.ts';
import { strokesPage } from './strokesPage.ts';

const checks = JSON.parse(
  readFileSync(new URL('../vectors/print_quality_parameters.json', import.meta.url), 'utf8'),
).analytic_checks;

const SMOOTH: Edges = { shape: smoothEdge() };

/** Two straight lines that lean a little, 24 mm long. */
function lines(widthMm: number, edges: Edges = SMOOTH, seed = 5): Stroke[] {
  const random = seededRandom(seed);
  return [2.6, 6.4].map((y) =>
    strokeAlong(
      pathOf((t) => [2 + 24 * t, y + 0.7 * t]),
      () => widthMm / 2,
      () => 1.2,
      edges,
      random,
    ),
  );
}

function found(measure: EdgeMeasure, name: QuantityName): Quantity {
  const quantity = measure.quantities.find((q) => q.quantity === name);
  if (!quantity) throw new Error(`${name} is not among the quantities`);
  return quantity;
}

function value(measure: EdgeMeasure, name: QuantityName): number {
  const { value } = found(measure, name);
  if (typeof value !== 'number') throw new Error(`${name} has no number`);
  return value;
}

/** Two short strokes of this width that lie nearly half on one another. */
function fused(x: number, y: number, widthMm: number): Stroke[] {
  return [0, 0.6 * widthMm].map((down) =>
    strokeAlong(
      pathOf((t) => [x + 2 * t, y + down]),
      () => widthMm / 2,
      () => 1.2,
      SMOOTH,
      seededRandom(7),
    ),
  );
}

describe('strokes that lie half on one another', () => {
  test('pass for no broad stroke', () => {
    const pairs = [2, 7, 12, 17, 22].flatMap((x) => fused(x, 4.6, 0.5));
    const measure = measureDrawing(strokesPage([...lines(0.5), ...pairs]), null);
    expect(Math.abs(value(measure, 'lineWidth') - 0.5)).toBeLessThan(0.001);
  });

  test('but a nib’s broad strokes count, long ones among fine ones', () => {
    const broad = lines(0.9).slice(0, 1);
    const fine = lines(0.45).slice(1);
    const measure = measureDrawing(strokesPage([...broad, ...fine]), null);
    expect(Math.abs(value(measure, 'lineWidth') - 0.675)).toBeLessThan(0.006);
  });
});

describe('against the definitions of ISO 13660 and ISO/IEC 24790', () => {
  test.each([
    [0.025, 0.8, 300],
    [0.025, 0.5, 300],
    [0.05, 1, 600],
  ])('a sine edge of amplitude %f mm and wave %f mm has raggedness A/√2 at %i dpi', (amplitude, wave, dpi) => {
    const strokes = lines(0.7, { shape: sineEdge(amplitude, wave) });
    const measured = value(measureDrawing(strokesPage(strokes, { dpi }), null), 'raggedness');
    const published = checks.worked.find((w: { A_mm: number }) => w.A_mm === amplitude).raggedness_mm;
    expect(Math.abs(measured - published)).toBeLessThan(Math.max(0.0009, 0.036 * published));
  });

  test('the 10–90 % distance of a Gaussian’s edge is 2.563 of its sigma, the 70–10 % distance 1.806', () => {
    const sigma = 0.08;
    const d = strokesPage(lines(0.9), { dpi: 600, bits: 16, scannerBlurMm: sigma });
    const { profile } = measureDrawing(d, null).detail!;
    const whole = Math.hypot(sigma, 25.4 / 600 / Math.sqrt(12));
    expect(profile!.scannedBlurMm! / whole / checks.blurriness_10_90_in_s).toBeCloseTo(1, 1.5);
    expect(profile!.blur70Mm! / whole / checks.DIS_70_10_in_s).toBeCloseTo(1, 1.5);
  });

  test('the ink’s own blur is what is left when the scanner’s is taken off', () => {
    const d = strokesPage(lines(0.9), { inkBlurMm: 0.07 });
    const measure = measureDrawing(d, null);
    expect(Math.abs(value(measure, 'edgeBlur') - checks.blurriness_10_90_in_s * 0.07)).toBeLessThan(0.012);
    expect(found(measure, 'edgeBlur').flags).toContain('blur-corrected');
    const sharp = measureDrawing(strokesPage(lines(0.9)), null);
    expect(value(sharp, 'edgeBlur')).toBeLessThan(0.03);
  });

  test('at the 60 % level a line is narrower than itself by 0.507 sigma', () => {
    const d = strokesPage(lines(0.9), { dpi: 600, bits: 16, scannerBlurMm: 0.07 });
    const measure = measureDrawing(d, null);
    const sigma = Math.hypot(0.07, 25.4 / 600 / Math.sqrt(12));
    const expected = 0.9 + checks.line_width_at_R60_minus_true_in_s * sigma;
    expect(Math.abs(value(measure, 'lineWidth.at60') - expected)).toBeLessThan(0.0014);
    expect(Math.abs(value(measure, 'lineWidth') - 0.9)).toBeLessThan(0.0009);
  });
});

describe('widths', () => {
  test.each([
    [0.35, 300, 0.002],
    [0.7, 300, 0.0015],
    [1.1, 300, 0.0015],
    [0.35, 600, 0.001],
  ])('%f mm at %i dpi', (widthMm, dpi, bound) => {
    const measure = measureDrawing(strokesPage(lines(widthMm), { dpi }), widthMm);
    expect(Math.abs(value(measure, 'lineWidth') - widthMm)).toBeLessThan(bound);
    expect(value(measure, 'lineWidth.sd')).toBeLessThan(0.005);
    expect(Math.abs(value(measure, 'spread'))).toBeLessThan((100 * bound) / widthMm);
    const { u, uParts } = found(measure, 'lineWidth');
    expect(u).toBeLessThan(0.006);
    const parts = [uParts!.repeatability, uParts!.calibration, uParts!.placement];
    expect(Math.hypot(...parts.map(Number))).toBeCloseTo(Number(u), 9);
  });

  test('a line of two and a half pixels is corrected for blur, and says so', () => {
    const measure = measureDrawing(strokesPage(lines(0.21)), null);
    expect(Math.abs(value(measure, 'lineWidth') - 0.21)).toBeLessThan(0.012);
    expect(found(measure, 'lineWidth').flags).toEqual(expect.arrayContaining(['blur-corrected', 'below-resolution']));
  });

  test('bends, ends and crossings do not count', () => {
    const random = seededRandom(2);
    const along = (at: (t: number) => readonly [number, number]) =>
      strokeAlong(
        pathOf(at),
        () => 0.3,
        () => 1,
        SMOOTH,
        random,
      );
    const wave = along((t) => [2 + 24 * t, 4.5 + 1.5 * Math.sin(14 * t)]);
    const across = [6, 13, 20].map((x) => along((t) => [x + 2 * t, 1.5 + 6.5 * t]));
    const measure = measureDrawing(strokesPage([wave, ...across]), null);
    expect(Math.abs(value(measure, 'lineWidth') - 0.6)).toBeLessThan(0.0015);
    expect(value(measure, 'raggedness')).toBeLessThan(0.004);
  });

  test('an arc counts from end to end, though the scan meets it in its middle first', () => {
    const arc = strokeAlong(
      pathOf((t) => [2 + 24 * t, 6.5 - 14 * t * (1 - t)]),
      // Its second half is broader: left out, the mean would be that of the first.
      (t) => (t > 0.5 ? 0.4 : 0.3),
      () => 1.2,
      SMOOTH,
      seededRandom(4),
    );
    const measure = measureDrawing(strokesPage([arc]), null);
    expect(Math.abs(value(measure, 'lineWidth') - 0.7)).toBeLessThan(0.002);
    const along = measure.detail!.edges.flatMap(({ points }) => points.filter((_, k) => k % 2 === 0));
    expect((Math.min(...along) * 25.4) / 300).toBeLessThan(2.8);
    expect((Math.max(...along) * 25.4) / 300).toBeGreaterThan(25.2);
  });

  test('strokes one way count for their length, however much of them is crossed', () => {
    const along = (half: number, at: (t: number) => readonly [number, number]) =>
      strokeAlong(
        pathOf(at),
        () => half,
        () => 1,
        SMOOTH,
        seededRandom(2),
      );
    // A broad line way across, crossed by thin ones that leave less than half of it alone.
    const across = along(0.45, (t) => [2 + 24 * t, 4.7 + 0.2 * t]);
    const down = Array.from({ length: 9 }, (_, k) => along(0.2, (t) => [3 + 2.7 * k + 0.2 * t, 2.5 + 4.5 * t]));
    const mean = (24 * 0.9 + 9 * 4.5 * 0.4) / (24 + 9 * 4.5);
    const measure = measureDrawing(strokesPage([across, ...down]), null);
    const u = Number(found(measure, 'lineWidth').u);
    expect(Math.abs(value(measure, 'lineWidth') - mean)).toBeLessThan(0.018);
    expect(u).toBeGreaterThan(0.025);
  });

  test('a quarter turn changes nothing', () => {
    const strokes = lines(0.6);
    const turned = strokes.map((s) => ({ ...s, x: s.y, y: s.x, left: s.right, right: s.left }));
    const upright = measureDrawing(strokesPage(strokes), null);
    const lying = measureDrawing(strokesPage(turned, { widthMm: 9.5, heightMm: 28 }), null);
    expect(Math.abs(value(upright, 'lineWidth') - value(lying, 'lineWidth'))).toBeLessThan(0.0003);
  });

  test('without the nib’s width there is no spread', () => {
    const spread = found(measureDrawing(strokesPage(lines(0.6)), null), 'spread');
    expect(spread).toMatchObject({ value: null, u: null });
    expect(spread.flags).toContain('no-nib-width');
  });

  test.each([
    ['the nib’s own width', 0.6, false],
    ['a width in tenths of a millimetre', 6, true],
    ['a width in centimetres', 0.06, true],
    ['a nib twice as broad, as with twice the dpi', 1.2, true],
  ])('spread against %s', (_, nibWidthMm, isDoubtful) => {
    const spread = found(measureDrawing(strokesPage(lines(0.62)), nibWidthMm), 'spread');
    expect((1 + Number(spread.value) / 100) * nibWidthMm).toBeCloseTo(0.62, 2);
    expect(spread.flags.includes('nib-width-doubtful')).toBe(isDoubtful);
    expect(spread.verdict).toBe(isDoubtful ? undefined : 'none');
  });
});

describe('hairs', () => {
  test.each([
    [0.15, 300],
    [0.3, 300],
    [0.3, 600],
  ])('hairs %f mm long at %i dpi', (lengthMm, dpi) => {
    const hair = () => ({ lengthMm, widthMm: 0.08, slant: 0.2 });
    const measure = measureDrawing(strokesPage(lines(0.7, { ...SMOOTH, hairsPerMm: 0.6, hair }), { dpi }), null);
    expect(Math.abs(value(measure, 'feathering') - lengthMm)).toBeLessThan(0.014);
    expect(Math.abs(value(measure, 'feathering.hairs') - 6)).toBeLessThan(0.8);
    expect(found(measure, 'feathering').verdict).toBe(lengthMm > 0.2 ? 'strong' : 'clear');
    // They do not widen the line, nor make its edge ragged.
    expect(Math.abs(value(measure, 'lineWidth') - 0.7)).toBeLessThan(0.002);
    expect(value(measure, 'raggedness')).toBeLessThan(0.005);
    expect(measure.detail!.hairs.length).toBeGreaterThan(20);
  });

  test('smooth and ragged edges are not feathered', () => {
    const smooth = measureDrawing(strokesPage(lines(0.6)), null);
    expect(value(smooth, 'feathering')).toBeLessThan(0.03);
    expect(found(smooth, 'feathering').verdict).toBe('none');
    const wavy = measureDrawing(strokesPage(lines(0.6, { shape: sineEdge(0.03, 0.6) })), null);
    expect(value(wavy, 'feathering')).toBeLessThan(0.018);
  });

  test('nor is the outside of a bend that the smooth path cuts short', () => {
    const wave = strokeAlong(
      pathOf((t) => [2 + 24 * t, 4.7 + 0.95 * Math.sin(25 * t)]),
      () => 0.5,
      () => 1.2,
      SMOOTH,
      seededRandom(2),
    );
    const measure = measureDrawing(strokesPage([wave], { inkBlurMm: 0.06 }), null);
    expect(value(measure, 'feathering')).toBeLessThan(0.03);
    expect(value(measure, 'feathering.hairs')).toBe(0);
  });

  test('where all hairs are hardly longer than the blur lets see, others may be hidden', () => {
    const of = (lengthMm: number) => {
      const hair = () => ({ lengthMm, widthMm: 0.08, slant: 0.2 });
      const hairy = lines(0.7, { ...SMOOTH, hairsPerMm: 0.6, hair });
      return found(measureDrawing(strokesPage(hairy), null), 'feathering.hairs');
    };
    const [short, long] = [of(0.12), of(0.3)];
    expect(Number(short.u) / Number(short.value)).toBeGreaterThan(0.7);
    expect(Number(long.u) / Number(long.value)).toBeLessThan(0.2);
  });

  test('nor is smooth handwriting, whose widths hold as well', () => {
    const { measure, lineWidth } = writtenEdges(1, 300);
    expect(value(measure, 'feathering')).toBeLessThan(0.016);
    expect(Math.abs(value(measure, 'lineWidth') - lineWidth)).toBeLessThan(0.005);
  }, 180_000);
});

describe('halos', () => {
  const TRANSMITTANCE = [0.93, 0.84, 0.9] as const;
  test.each([
    [0.12, 300],
    [0.35, 300],
    [0.2, 600],
  ])('a ring %f mm wide at %i dpi', (widthMm, dpi) => {
    const d = strokesPage(lines(0.6), { dpi, halo: { widthMm, transmittance: TRANSMITTANCE } });
    const measure = measureDrawing(d, null);
    expect(Math.abs(value(measure, 'halo') - widthMm)).toBeLessThan(0.004);
    expect(found(measure, 'halo').verdict).toBe('present');
    const signal = [0, 1, 2].map((c) => d.paper[c] * TRANSMITTANCE[c]);
    const calibration = compileCalibration(nominalCalibration);
    const truth = barePaperOf([signal[0], signal[1], signal[2]], calibration).lab;
    expect(deltaE2000(labD50(...measure.detail!.halo!.lab), truth)).toBeLessThan(0.8);
    expect(Math.abs(value(measure, 'halo.dE') - deltaE2000(truth, barePaperOf(d.paper, calibration).lab))).toBeLessThan(
      0.8,
    );
    // Beside it a plain crossing would read up to 0.06 mm too wide.
    expect(Math.abs(value(measure, 'lineWidth') - 0.6)).toBeLessThan(0.006);
    expect(found(measure, 'lineWidth').flags).toContain('beside-halo');
  });

  test('without a ring there is none, however soft the edge', () => {
    const measure = measureDrawing(strokesPage(lines(0.6), { inkBlurMm: 0.08 }), null);
    expect(value(measure, 'halo')).toBe(0);
    expect(found(measure, 'halo.dE')).toMatchObject({ value: null });
    expect(measure.detail!.halo).toBeNull();
  });
});

describe('drawn worlds', () => {
  test.each([7, 15])(
    'yellow ink on grey paper (seed %i): widths within the bounds',
    (seed) => {
      const rows = edgeRows(seed, 300);
      const error = (name: string) => {
        const row = rows.find((r) => r.quantity === name)!;
        return Math.abs(row.value! - row.truth);
      };
      expect(error('lineWidth')).toBeLessThan(0.001);
      expect(error('raggedness')).toBeLessThan(0.0025);
      expect(error('feathering')).toBeLessThan(0.012);
    },
    180_000,
  );
});

describe('regions with nothing to measure, and pictures', () => {
  const d = strokesPage([]);
  const input = (flags: 'no-ink' | 'bare') => ({
    id: 'r',
    signal: {
      data: new Float32Array(3 * 200 * 100).map((_, i) => d.paper[i % 3] * (1 + 0.004 * Math.sin(i * 12.9898))),
      widthPx: 200,
      heightPx: 100,
      dpi: 300,
      originPx: [0, 0] as const,
      clipped: new Uint8Array(200 * 100),
    },
    calibration: compileCalibration(nominalCalibration),
    paper: flags === 'bare' ? null : flatPaperOf(d.paper, 0.005),
    bare: flags === 'bare' ? null : barePaperOf(d.paper, compileCalibration(nominalCalibration)),
    scannerBlurMm: 0.06,
    scanFlags: [],
  });

  test.each([
    ['no-ink', 'no-ink'],
    ['bare', 'no-bare-paper'],
  ] as const)('%s: every quantity is null, with the reason', (kind, flag) => {
    const { quantities } = measureStrokes(input(kind));
    const edges = quantities.filter((q) => /^(lineWidth|spread|raggedness|feathering|edgeBlur|halo)/.test(q.quantity));
    expect(edges).toHaveLength(6);
    for (const q of edges) {
      expect(q).toMatchObject({ value: null, u: null });
      expect(q.flags).toContain(flag);
    }
  });

  test('the detail stays small and lies on the strokes', () => {
    const { detail } = measureDrawing(strokesPage(lines(0.7)), null);
    const places = detail!.edges.reduce((sum, line) => sum + line.points.length / 2, 0);
    expect(places).toBeGreaterThan(800);
    expect(places).toBeLessThan(7000);
    expect(detail!.whiskers.length).toBeGreaterThan(70);
    for (const { from, to, widthMm } of detail!.whiskers) {
      expect((Math.hypot(to[0] - from[0], to[1] - from[1]) * 25.4) / 300).toBeCloseTo(widthMm, 2);
    }
    const { distanceMm, contrast } = detail!.profile!;
    expect(distanceMm).toEqual(distanceMm.toSorted((a, b) => a - b));
    expect(contrast[0]).toBeLessThan(0.002);
    expect(contrast.at(-1)).toBeGreaterThan(0.95);
  });
});
