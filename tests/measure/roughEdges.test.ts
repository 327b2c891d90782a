/** Rough edges, hairs, and the hand's own bends told from one another. */
import { describe, expect, test } from 'vitest';
import type { EdgeMeasure } from '../../analysis/measure/edge/measureEdges.ts';
import type { QuantityName } from '../../analysis/quantity.ts';
import { seededRandom } from '../../analysis/seededRandom.ts';
import { type Edges, type Path, pathOf, roughEdge, smoothEdge, strokeAlong } from '../../study/edges/strokeShapes.ts';
import { measureDrawing } from '../../study/edges/trial.ts';
import { strokesPage } from './strokesPage.ts';

const HAIR = { lengthMm: 0.3, widthMm: 0.08, slant: 0.2 };

function measured(paths: readonly Path[], widthMm: number, edges: Edges, dpi = 300): EdgeMeasure {
  const random = seededRandom(5);
  const strokes = paths.map((path) =>
    strokeAlong(
      path,
      () => widthMm / 2,
      () => 1.2,
      edges,
      random,
    ),
  );
  return measureDrawing(strokesPage(strokes, { dpi }), null);
}

/** Two straight lines that lean a little, 24 mm long. */
function lines(edges: Edges, dpi = 300): EdgeMeasure {
  return measured(
    [2.6, 6.4].map((y) => pathOf((t) => [2 + 24 * t, y + 0.7 * t])),
    0.7,
    edges,
    dpi,
  );
}

/** Stems that turn by half in an arc, as letters do. */
function turns(edges: Edges): EdgeMeasure {
  const [radius, leg] = [0.8, 4];
  const arc = Math.PI * radius;
  const turn = (left: number) =>
    pathOf((t) => {
      const way = t * (2 * leg + arc);
      if (way < leg) return [left, 7.5 - way];
      if (way > leg + arc) return [left + 2 * radius, 7.5 - leg + (way - leg - arc)];
      const angle = (way - leg) / radius;
      return [left + radius - radius * Math.cos(angle), 7.5 - leg - radius * Math.sin(angle)];
    });
  return measured([2.5, 8.5, 14.5, 20.5].map(turn), 0.6, edges);
}

function value({ quantities }: EdgeMeasure, name: QuantityName): number {
  return Number(quantities.find((q) => q.quantity === name)?.value ?? NaN);
}

function u({ quantities }: EdgeMeasure, name: QuantityName): number {
  return Number(quantities.find((q) => q.quantity === name)?.u ?? NaN);
}

describe('hairs and roughness', () => {
  test('a rough edge goes outwards no farther than inwards: no hairs; those that stand on it are', () => {
    const bare = lines({ shape: roughEdge(0.028, 0.07) }, 600);
    expect(value(bare, 'feathering')).toBeLessThan(0.03);
    expect(value(bare, 'feathering.hairs')).toBe(0);
    expect(bare.detail!.hairs).toHaveLength(0);
    const hairy = lines({ shape: roughEdge(0.02, 0.07), hairsPerMm: 0.6, hair: () => HAIR });
    expect(Math.abs(value(hairy, 'feathering') - 0.3)).toBeLessThan(0.03);
    expect(Math.abs(value(hairy, 'feathering.hairs') - 6)).toBeLessThan(0.3);
  });

  test('hairs that hardly leave an edge’s own wander count where it never goes inwards like them', () => {
    const hair = () => ({ ...HAIR, lengthMm: 0.12 });
    const measure = lines({ shape: roughEdge(0.01, 0.1), hairsPerMm: 0.8, hair });
    expect(Math.abs(value(measure, 'feathering') - 0.12)).toBeLessThan(0.014);
  });

  test('few hairs are as long as many; as few as chance leaves are in doubt as long as they are', () => {
    const few = lines({ shape: smoothEdge(), hairsPerMm: 0.08, hair: () => HAIR });
    expect(Math.abs(value(few, 'feathering') - 0.3)).toBeLessThan(0.03);
    expect(Math.abs(value(few, 'feathering.hairs') - 0.8)).toBeLessThan(0.13);
    const hardly = lines({ shape: smoothEdge(), hairsPerMm: 0.045, hair: () => HAIR });
    expect(value(hardly, 'feathering.hairs')).toBe(0);
    expect(2 * u(hardly, 'feathering')).toBeGreaterThan(0.25);
    expect(u(lines({ shape: smoothEdge() }), 'feathering')).toBeLessThan(0.02);
  });
});

describe('raggedness where strokes turn', () => {
  test('a smooth edge stays smooth, a rough one as rough', () => {
    expect(value(turns({ shape: smoothEdge() }), 'raggedness')).toBeLessThan(0.004);
    expect(Math.abs(value(turns({ shape: roughEdge(0.012, 0.15) }), 'raggedness') - 0.012)).toBeLessThan(0.004);
  });
});
