/** A layer's numbers and their doubt, on layers whose optics are known in closed form. */
import { expect, test } from 'vitest';
import { GRID } from '../../../analysis/film/grid.ts';
import { layerReflectance } from '../../../analysis/film/layer.ts';
import { filmNumbers } from '../../../analysis/measure/opacity/filmNumbers.ts';
import type { InkLayer, LayerCurves } from '../../../analysis/measure/opacity/inkLayer.ts';

/** Flat curves: R0 and T are one number for all light. */
const flat = (k: number, s: number): LayerCurves => ({
  k: Array.from({ length: GRID.count }, () => k),
  s: Array.from({ length: GRID.count }, () => s),
});
const layer = (curves: LayerCurves, doubts: InkLayer['doubts'] = []): InkLayer => ({
  ...curves,
  doubts,
  samples: [{ region: 'r', bins: [{ dose: 1, share: 1 }] }],
});

test('a clear dye sends nothing back over black and lets through exp(−K)', () => {
  const { t, contrast, channels } = filmNumbers(layer(flat(0.7, 0)), ['r'])!;
  expect(t.value).toBeCloseTo(Math.exp(-0.7), 6);
  expect(contrast.value).toBeCloseTo(0, 9);
  for (const { r0 } of channels) expect(r0.value).toBeCloseTo(0, 9);
});

test('contrast is what comes back over black against over the standard white of 0.89 (Kubelka–Munk)', () => {
  const { contrast } = filmNumbers(layer(flat(0.4, 0.3)), ['r'])!;
  expect(contrast.value).toBeCloseTo(layerReflectance(0, 0.4, 0.3) / layerReflectance(0.89, 0.4, 0.3), 6);
});

test('u is each way that the fit leaves open in quadrature; over black a quarter more (study of opacity, seeds 201–236)', () => {
  const own = flat(0.4, 0.3);
  const open = [flat(0.46, 0.3), flat(0.4, 0.36)].map((curves) => ({ ...curves, doseFactor: 1 }));
  const at = (curves: LayerCurves) => filmNumbers(layer(curves), ['r'])!;
  const told = filmNumbers(layer(own, open), ['r'])!;
  const moved = (of: (numbers: ReturnType<typeof at>) => number) =>
    Math.hypot(...open.map((curves) => of(at(curves)) - of(at(own))));
  const left = (u: number) => Math.sqrt(u ** 2 - 0.004 ** 2);
  expect(left(told.t.u) / moved(({ t }) => t.value)).toBeCloseTo(1, 6);
  expect(left(told.channels[1].r0.u) / moved(({ channels }) => channels[1].r0.value)).toBeCloseTo(1, 6);
  expect(left(told.contrast.u) / moved(({ contrast }) => contrast.value)).toBeCloseTo(1.25, 6);
});

test('a factor on all doses that goes with a doubt is applied with it', () => {
  const own = flat(0.4, 0.3);
  const told = (doseFactor: number) =>
    filmNumbers(layer(own, [{ ...flat(0.4 / 1.2, 0.3 / 1.2), doseFactor }]), ['r'])!.t.u;
  expect(told(1.2)).toBeCloseTo(0.004, 6);
  expect(told(1)).toBeGreaterThan(0.05);
});
