/** The field of a plot in the a*b* plane: its two axes, grid and neutral lines. */
import * as Plot from '@observablehq/plot';
import { AXIS, FIELD, GRID, tick, X_LABEL } from './plotGround.ts';

export interface AbDomain {
  readonly x: readonly [low: number, high: number];
  readonly y: readonly [low: number, high: number];
}

const TICKS = 6;

/** `back` lies under all other marks. */
export function abField(domain: AbDomain): Pick<Plot.PlotOptions, 'x' | 'y'> & { readonly back: Plot.Markish[] } {
  const axis = { labelAnchor: 'center', labelArrow: 'none', ticks: TICKS, tickFormat: tick(0) } as const;
  const neutral = ([low, high]: readonly [number, number]): number[] => [0].filter((v) => v > low && v < high);
  return {
    x: { ...axis, domain: domain.x, label: 'a*, green to red', labelOffset: X_LABEL },
    y: { ...axis, domain: domain.y, label: 'b*, blue to yellow' },
    back: [
      Plot.frame({ fill: FIELD, stroke: 'none' }),
      Plot.gridX({ stroke: GRID, strokeOpacity: 1, ticks: TICKS }),
      Plot.gridY({ stroke: GRID, strokeOpacity: 1, ticks: TICKS }),
      Plot.ruleX(neutral(domain.x), { stroke: AXIS }),
      Plot.ruleY(neutral(domain.y), { stroke: AXIS }),
    ],
  };
}
