/** Draws the greys' departures from neutral: Δa* and Δb* over L*, told apart by mark and dashes. */
import * as Plot from '@observablehq/plot';
import type { Surface } from '../plots/paint.ts';
import { AXIS, FIELD, GRID, ground, LIGHT, tick, X_LABEL } from '../plots/plotGround.ts';
import { departureReach, type GreyDeparture } from './neutralityData.ts';

const SERIES = [
  { key: 'da', symbol: 'circle', dash: 'none', stroke: '#111111' },
  { key: 'db', symbol: 'square', dash: '6 3', stroke: '#5a5a5a' },
] as const;

export function neutralitySvg(greys: readonly GreyDeparture[], surface: Surface): SVGSVGElement | HTMLElement {
  const reach = departureReach(greys);
  return Plot.plot({
    ...ground(surface),
    x: {
      domain: [0, 100],
      label: 'L*, dark to light',
      labelAnchor: 'center',
      labelOffset: X_LABEL,
      labelArrow: 'none',
      tickFormat: tick(0),
      ticks: 5,
    },
    y: {
      domain: [-reach, reach],
      label: 'Δa*, Δb*: measured less known',
      labelAnchor: 'center',
      labelArrow: 'none',
      tickFormat: tick(1),
      ticks: 4,
    },
    symbol: { type: 'identity' },
    marks: [
      Plot.frame({ fill: FIELD, stroke: 'none' }),
      Plot.gridY({ stroke: GRID, strokeOpacity: 1, ticks: 4 }),
      Plot.ruleY([0], { stroke: AXIS }),
      ...SERIES.flatMap(({ key, symbol, dash, stroke }) => [
        Plot.line(greys, { x: 'L', y: key, stroke: LIGHT, strokeWidth: 3 }),
        Plot.line(greys, { x: 'L', y: key, stroke, strokeWidth: 1.4, strokeDasharray: dash }),
        Plot.dot(greys, { x: 'L', y: key, r: 3.5, symbol, fill: stroke, stroke: LIGHT, strokeWidth: 1 }),
      ]),
    ],
  });
}
