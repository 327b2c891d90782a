/**
 * The engine compiles what draws plots as it first runs, a third of the first plot's time: a small one that nobody sees
 * goes ahead of all others, in a task of its own.
 */
import * as Plot from '@observablehq/plot';
import { screenPaint } from './paint.ts';
import { DARK, FIELD, GRID, ground, tick } from './plotGround.ts';

let drawn: Promise<void> | null = null;

/** @returns when plots can be drawn */
export function firstPlot(): Promise<void> {
  drawn ??= new Promise((resolve) => {
    setTimeout(() => {
      drawSmall();
      resolve();
    });
  });
  return drawn;
}

function drawSmall(): void {
  const axis = { domain: [0, 1], label: 'a', labelAnchor: 'center', labelArrow: 'none', tickFormat: tick(0) } as const;
  const places = [
    [0, 0],
    [1, 1],
  ];
  Plot.plot({
    ...ground({ width: 160, height: 120, paint: screenPaint, document }),
    x: axis,
    y: axis,
    marks: [
      Plot.frame({ fill: FIELD, stroke: 'none' }),
      Plot.gridX({ stroke: GRID, ticks: 2 }),
      Plot.gridY({ stroke: GRID, ticks: 2 }),
      Plot.line(places, { stroke: DARK, clip: true }),
      Plot.dot(places, { stroke: DARK }),
      Plot.text(places, { text: () => 'a' }),
    ],
  });
}
