/** What drift is told of scanners that did not change, and of scanners that changed by a known amount: `npm run study drift`. */
import { driftBetween } from '../analysis/calibrate/drift.ts';
import { fitCalibration } from '../analysis/calibrate/fit.ts';
import { lightAt } from '../analysis/calibrate/flatField.ts';
import { quantile } from '../analysis/quantile.ts';
import { type CalibrationWorld, drawnWorld, sampleWorld } from './calibrationWorlds.ts';
import { sceneOf } from './targetFaults.ts';

type Gain = readonly [number, number, number];
type Lamp = (xMm: number, yMm: number, channel: number) => number;

interface Case {
  readonly name: string;
  readonly gain: Gain;
  /** Another lamp: its light falls otherwise over the bed. */
  readonly otherLamp: boolean;
}

const CASES: readonly Case[] = [
  { name: 'unchanged', gain: [1, 1, 1], otherLamp: false },
  { name: '2 % brighter', gain: [1.02, 1.02, 1.02], otherLamp: false },
  { name: 'red 3 % brighter', gain: [1.03, 1, 1], otherLamp: false },
  { name: 'unchanged, but the light falls otherwise over the bed', gain: [1, 1, 1], otherLamp: true },
];

const HALF_MM = 108;
const lamp: Lamp = (x, _y, c) => 1 + 0.01 * (c - 1) * ((x - HALF_MM) / HALF_MM) - 0.02 * ((x - HALF_MM) / HALF_MM) ** 2;
const later: Lamp = (x, y) => 1 - 0.015 * ((x - HALF_MM) / HALF_MM) + 0.01 * ((y - HALF_MM) / HALF_MM);

export function driftPage(firstSeed: number, seeds: number): string {
  return [
    '# Drift',
    '',
    `Written by \`npm run study drift ${seeds}\`. Each seed is a simulated scanner with a target, scanned twice with its patches in other places and`,
    'other noise, calibrated both times, and held against itself as [the report card](../report-card.md#drift) does. Median and, behind the',
    `stroke, 95th percentile over ${seeds} seeds that nothing was chosen on.`,
    '',
    '| scanner | median ΔE00 | left when brightness is told, ΔE00 | brightness told wrong by, worst channel, % |',
    '| --- | --- | --- | --- |',
    ...CASES.map((one) => line(one, firstSeed, seeds)),
    '',
  ].join('\n');
}

function line({ name, gain, otherLamp }: Case, firstSeed: number, seeds: number): string {
  const found = Array.from({ length: seeds }, (_, i) => {
    const seed = firstSeed + i;
    return toldOf(i % 2 === 0 ? drawnWorld(seed) : sampleWorld(seed), seed, gain, otherLamp);
  });
  const both = (values: readonly number[]): string =>
    `${quantile(values, 0.5).toFixed(2)} / ${quantile(values, 0.95).toFixed(2)}`;
  return `| ${name} | ${both(found.map((f) => f.medianDE00))} | ${both(found.map((f) => f.restDE00))} | ${both(found.map((f) => f.wrongPercent))} |`;
}

function toldOf(world: CalibrationWorld, seed: number, gain: Gain, otherLamp: boolean) {
  const [then, now] = [
    sceneOf(world, seed, lamp),
    sceneOf(world, seed + 5000, (x, y, c) => gain[c] * (otherLamp ? later : lamp)(x, y, c)),
  ];
  const before = fitCalibration(then.readings, then.reference, { surround: then.surround });
  const today = fitCalibration(now.readings, now.reference, { surround: now.surround });
  const field = today.flatField;
  const places = new Map(now.readings.map(({ id, centreMm }) => [id, centreMm]));
  const patches = today.patches.flatMap(({ id, device, flags }) => {
    const place = places.get(id);
    if (!place || flags.includes('clipped') || flags.includes('covered')) return [];
    const light = (c: number): number => (field === null ? 1 : lightAt(field, c, place));
    return [{ device, light: [light(0), light(1), light(2)] as const }];
  });
  const drift = driftBetween(before, today, patches);
  if (!drift) throw new Error(`seed ${seed}: too few patches`);
  const { medianDE00, restDE00, brighter } = drift;
  const wrongPercent = Math.max(...brighter.map((factor, c) => Math.abs(100 * (factor / gain[c] - 1))));
  return { medianDE00, restDE00, wrongPercent };
}
