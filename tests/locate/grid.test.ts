import { describe, expect, it } from 'vitest';
import type { TargetFound } from '../../analysis/locate/target/measureTarget.ts';
import { type Clutter, drawScene, drawTarget, type TargetDrawing } from '../calibrate/drawTarget.ts';
import { knownTarget, oddDevice, type TargetName } from './knownTargets.ts';
import { locateDrawn, worstMissMm } from './locateDrawn.ts';

type Grid = Exclude<TargetName, 'card'>;
/** As they usually look: a dark frame about the chart, a grey card under the fields. */
const LOOKS: Record<Grid, Partial<TargetDrawing>> = {
  'chart-4x6': { scale: 0.3, card: 0.12 },
  'iso12641-1': { scale: 0.5, card: 0.6 },
};
const GRIDS = ['chart-4x6', 'iso12641-1'] as const;

function drawn(name: Grid, drawing: Partial<TargetDrawing>) {
  const { layout, known } = knownTarget(name);
  return drawTarget(layout, oddDevice(known, 9), { dpi: 150, noise: 0.01, ...LOOKS[name], ...drawing });
}

function located(name: Grid, drawing: Partial<TargetDrawing>): TargetFound & { readonly missMm: number } {
  const { layout, known } = knownTarget(name);
  const scan = drawn(name, drawing);
  const found = locateDrawn(scan, layout, known);
  if ('problem' in found) throw new Error(found.problem);
  return { ...found, missMm: worstMissMm(found, scan.pointsPx, scan.dpi) };
}

function refused(name: Grid, drawing: Partial<TargetDrawing>): string {
  const { layout, known } = knownTarget(name);
  const found = locateDrawn(drawn(name, drawing), layout, known);
  return 'problem' in found ? `${found.code}: ${found.problem}` : `found with ${found.score}, ${found.words}`;
}

describe.each(GRIDS)('%s is found by its patches', (name) => {
  it.each([44, 180])('turned by %i°', (turnDeg) => {
    const found = located(name, { turnDeg });
    expect(found.missMm).toBeLessThan(0.2);
    expect(found.score).toBeGreaterThan(0.8);
    expect(found.by).toBe('grid');
  });

  it.each([
    ['on a dark bed in uneven light', { bed: 0.04, gradient: 0.2, turnDeg: -8 }],
    ['with much noise', { noise: 0.03, turnDeg: 64 }],
    ['under a soft lens', { blurPx: 1.5, turnDeg: 3 }],
    ['stretched and in perspective', { stretch: 1.01, perspective: 0.01, turnDeg: 140 }],
  ] as const)('%s', (_, drawing) => {
    expect(located(name, drawing).missMm).toBeLessThan(0.3);
  });

  it('beside a ruled page, swatches and coins', () => {
    const beside: Clutter[] = [
      { kind: 'ruled', boxMm: [4, 4, 130, 70], turnDeg: 2 },
      { kind: 'swatches', boxMm: [4, 60, 60, 70] },
      { kind: 'coins', boxMm: [60, 60, 70, 50] },
    ];
    const found = located(name, { beside, sizeMm: [140, 200], centreMm: [72, 150], turnDeg: 9, seed: 4 });
    expect(found.missMm).toBeLessThan(0.3);
  });

  it.each(['first', 'last'])('with its %s row covered', (which) => {
    const rows = name === 'chart-4x6' ? 4 : 12;
    const pitch = name === 'chart-4x6' ? 45.6 : 6.5;
    const top = (which === 'first' ? 0 : rows - 1) * pitch;
    const found = located(name, { covered: [{ boxMm: [-2, top - 0.5, 290, pitch], colour: 0.7 }], turnDeg: 195 });
    expect(found.missMm).toBeLessThan(0.5);
    expect(found.words).toMatch(/ of \d+ look as their known colours let expect$/);
  });

  it('mirrored: refused', () => {
    expect(refused(name, { mirrored: true, turnDeg: 73 })).toMatch(/^target-mirrored: .* is mirrored in this scan/);
  });

  it('mirrored and partly covered: refused', () => {
    const covered = [{ boxMm: name === 'chart-4x6' ? ([-2, -2, 45, 200] as const) : ([-8, -2, 14, 200] as const) }];
    expect(refused(name, { mirrored: true, turnDeg: 250, covered })).toMatch(/^target-mirrored/);
  });

  it('twice: refused, with both places', () => {
    const two = { sizeMm: [120, 170], centreMm: [58, 40], moreAtMm: [[60, 125]] } as const;
    expect(refused(name, { ...two, turnDeg: 2 })).toMatch(/^targets-two: 2 targets .* \d+, \d+ mm and \d+, \d+ mm/);
  });

  it('not in a page of writing on squared paper with painted swatches', () => {
    const { layout, known } = knownTarget(name);
    const beside = [
      { kind: 'squared' },
      { kind: 'page', boxMm: [60, 5, 80, 100] },
      { kind: 'swatches', boxMm: [5, 20, 90, 90] },
    ] as const;
    const scene = drawScene([150, 120], { dpi: 150, noise: 0.01, beside, seed: 21 });
    expect(locateDrawn(scene, layout, known)).toMatchObject({ code: 'target-not-found' });
  });

  it('not in a scan of another target', () => {
    const { layout, known } = knownTarget(name);
    const other = name === 'chart-4x6' ? 'iso12641-1' : 'chart-4x6';
    expect(locateDrawn(drawn(other, { turnDeg: 5 }), layout, known)).toMatchObject({ code: 'target-not-found' });
  });
});

describe('resolutions and sizes', () => {
  it.each([300, 1200])('a small chart at %i dpi', (dpi) => {
    expect(located('chart-4x6', { dpi, scale: 0.22, turnDeg: 5, marginMm: 2, blurPx: dpi / 250 }).missMm).toBeLessThan(
      0.1,
    );
  });

  it('the smallest chart that is sought', () => {
    expect(located('chart-4x6', { scale: 0.2, turnDeg: 33 }).missMm).toBeLessThan(0.1);
  });

  it('a large chart', () => {
    expect(located('chart-4x6', { scale: 0.7, dpi: 150, turnDeg: 91 }).missMm).toBeLessThan(0.2);
  });

  it('the fields at full size', () => {
    expect(located('iso12641-1', { scale: 1, dpi: 200, turnDeg: 179 }).missMm).toBeLessThan(0.2);
  });
});

it('a half covered target is not taken: its place is told', () => {
  const scan = drawn('chart-4x6', { covered: [{ boxMm: [-2, -2, 140, 200] }], sizeMm: [140, 100], centreMm: [70, 50] });
  const { layout, known } = knownTarget('chart-4x6');
  expect(locateDrawn(scan, layout, known)).toMatchObject({
    code: expect.stringMatching(/^target-(unsure|not-found)$/),
  });
});
