/**
 * The engine compiles what draws plots as it first runs, a third of the first plot's time: small ones that nobody sees
 * go ahead of all others, each in a task of its own and with parts that none before it had.
 */
import * as Plot from '@observablehq/plot';
import { ownTask } from '../api/ownTask.ts';
import { screenPaint } from './paint.ts';
import { DARK, FIELD, GRID, ground, tick } from './plotGround.ts';

let drawn: Promise<void> | null = null;

/** @returns when plots can be drawn */
export function firstPlot(): Promise<void> {
  drawn ??= drawSmall();
  return drawn;
}

const PLACES = [
  [0, 0],
  [1, 1],
];
const STEPS = [
  { x1: 0, y1: 0, x2: 1, y2: 1, z: 'a' },
  { x1: 1, y1: 0, x2: 0, y2: 1, z: 'b' },
];
const ENDS = { x1: 'x1', y1: 'y1', x2: 'x2', y2: 'y2', stroke: DARK } as const;

/** Bare of axes, which are most of a plot. */
const PARTS: readonly (() => Plot.Markish[])[] = [
  () => [Plot.frame({ fill: FIELD, stroke: 'none' })],
  () => [Plot.gridX({ stroke: GRID, ticks: 2 }), Plot.gridY({ stroke: GRID, ticks: 2 }), Plot.ruleY([0])],
  () => [Plot.line(PLACES, { stroke: DARK, clip: true }), Plot.dot(PLACES, { stroke: DARK })],
  () => [Plot.link(STEPS, ENDS), Plot.arrow(STEPS, ENDS), Plot.text(PLACES, { text: () => 'a', fill: DARK })],
];

async function drawSmall(): Promise<void> {
  for (const marks of PARTS) {
    await ownTask();
    draw(marks(), { axis: null });
  }
  await ownTask();
  draw([], { label: 'a', labelAnchor: 'center', labelArrow: 'none', tickFormat: tick(0) });
}

function draw(marks: Plot.Markish[], axis: Plot.ScaleOptions): void {
  const scale = { domain: [0, 1], ...axis };
  const surface = { width: 160, height: 120, paint: screenPaint, document };
  Plot.plot({ ...ground(surface), x: scale, y: scale, marks });
}
