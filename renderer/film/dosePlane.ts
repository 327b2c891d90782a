/** The two planes that a dose's colour is drawn in, and where a colour lies in them, px. */
import * as Plot from '@observablehq/plot';
import type { LabValue } from '../../analysis/quantity.ts';
import { abField } from '../plots/abField.ts';
import { equalScales, extentOf } from '../plots/equalScales.ts';
import type { Surface } from '../plots/paint.ts';
import { AXIS, FIELD, fieldOf, GRID, tick, X_LABEL } from '../plots/plotGround.ts';
import { niceSteps } from '../findings/strip/niceSteps.ts';
import type { DosePlotData } from './dosePlotData.ts';

export type PlaneName = 'ab' | 'LC';

export interface Plane {
  readonly x: (lab: LabValue) => number;
  readonly y: (lab: LabValue) => number;
}

export const PLANES: Readonly<Record<PlaneName, Plane>> = {
  ab: { x: ([, a]) => a, y: ([, , b]) => b },
  LC: { x: ([, a, b]) => Math.hypot(a, b), y: ([L]) => L },
};

export interface PlanePlaces {
  readonly toX: (value: number) => number;
  readonly toY: (value: number) => number;
  /** Back from px, for labels. */
  readonly atX: (px: number) => number;
  readonly atY: (px: number) => number;
}

/** One scale both ways, over all that may be shown, whether it is or not: nothing moves when the map's marks come. */
export function planePlaces(name: PlaneName, data: DosePlotData, surface: Surface): PlanePlaces {
  const { x, y } = PLANES[name];
  const field = fieldOf(surface);
  const labs = [
    ...data.papers.flatMap(({ paperLab, pieces }) => [paperLab, ...pieces.flatMap(({ from, to }) => [from, to])]),
    ...data.points.flatMap(({ lab, byMap }) => [lab, byMap]),
  ];
  const scales = equalScales(extentOf(labs.map(x)), extentOf(labs.map(y)), {
    left: field.left + 16,
    right: field.right - 16,
    top: field.top + 12,
    bottom: field.bottom - 12,
  });
  return {
    toX: scales.toX,
    toY: scales.toY,
    atX: (px) => scales.x.low + (px - scales.toX(scales.x.low)) / scales.pxPerUnit,
    atY: (px) => scales.y.low + (scales.toY(scales.y.low) - px) / scales.pxPerUnit,
  };
}

/** Axes and ground; `back` lies under all other marks. */
export function planeField(name: PlaneName, places: PlanePlaces, surface: Surface): ReturnType<typeof abField> {
  const field = fieldOf(surface);
  const domain = {
    x: [places.atX(field.left), places.atX(field.right)] as const,
    y: [places.atY(field.bottom), places.atY(field.top)] as const,
  };
  if (name === 'ab') return abField(domain);
  const axis = { labelAnchor: 'center', labelArrow: 'none', tickFormat: tick(0) } as const;
  // There is no chroma below 0 and no lightness above 100, though the field may reach there.
  const within = ([low, high]: readonly [number, number], most: number): readonly number[] =>
    niceSteps(Math.min(high, most), 5).filter((value) => value >= low);
  const [chromas, lightnesses] = [within(domain.x, Infinity), within(domain.y, 100)];
  return {
    x: { ...axis, domain: domain.x, label: 'C*, grey to vivid', labelOffset: X_LABEL, ticks: chromas },
    y: { ...axis, domain: domain.y, label: 'L*, dark to light', ticks: lightnesses },
    back: [
      Plot.frame({ fill: FIELD, stroke: 'none' }),
      Plot.ruleX(chromas, { stroke: GRID }),
      Plot.ruleY(lightnesses, { stroke: GRID }),
      ...(domain.x[0] < 0 ? [Plot.ruleX([0], { stroke: AXIS })] : []),
    ],
  };
}
