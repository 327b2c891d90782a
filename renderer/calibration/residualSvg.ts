/** Draws how many patches are missed by how much. */
import * as Plot from '@observablehq/plot';
import { fixed } from '../../analysis/report/valueText.ts';
import type { Surface } from '../plots/paint.ts';
import { AXIS, DARK, FIELD, GRID, ground, LIGHT, tick, X_LABEL } from '../plots/plotGround.ts';
import type { ResidualBin, ResidualData } from './residualData.ts';

export function residualSvg({ bins, median, p95 }: ResidualData, surface: Surface): SVGSVGElement | HTMLElement {
  const most = Math.max(1, ...bins.flatMap(({ leftOut, fitted }) => [leftOut, fitted])) * 1.2;
  const end = bins.at(-1)?.to ?? 1;
  const marks = [
    { at: median, words: 'median' },
    { at: p95, words: '95 %' },
  ].flatMap(({ at, words }) => (at === null ? [] : [{ at, words: `${words} ${fixed(at, 2)}` }]));
  return Plot.plot({
    ...ground(surface),
    x: {
      domain: [0, end],
      label: 'ΔE00 from the known colour',
      labelAnchor: 'center',
      labelOffset: X_LABEL,
      labelArrow: 'none',
      tickFormat: tick(end < 6 ? 1 : 0),
      ticks: 6,
    },
    y: {
      domain: [0, most],
      label: 'patches',
      labelAnchor: 'center',
      labelArrow: 'none',
      tickFormat: tick(0),
      ticks: Math.min(4, Math.ceil(most)),
    },
    marks: [
      Plot.frame({ fill: FIELD, stroke: 'none' }),
      Plot.gridY({ stroke: GRID, strokeOpacity: 1, ticks: 4 }),
      Plot.rect(bins, { x1: 'from', x2: 'to', y1: 0, y2: 'leftOut', fill: '#8a8a8a', insetLeft: 0.5, insetRight: 0.5 }),
      Plot.line(stepsOf(bins), { x: 'x', y: 'y', stroke: LIGHT, strokeWidth: 3 }),
      Plot.line(stepsOf(bins), { x: 'x', y: 'y', stroke: DARK, strokeWidth: 1.3, strokeDasharray: '5 3' }),
      Plot.ruleX(marks, { x: 'at', stroke: DARK, strokeWidth: 1 }),
      Plot.text(marks, {
        x: 'at',
        y: (_: unknown, i: number) => most * (0.96 - 0.1 * i),
        text: 'words',
        textAnchor: 'start',
        dx: 4,
        fill: DARK,
        stroke: FIELD,
        strokeWidth: 4,
      }),
      Plot.ruleY([0], { stroke: AXIS }),
    ],
  });
}

/** The outline of the fitted counts, from the baseline up and back down. */
export function stepsOf(bins: readonly ResidualBin[]): { x: number; y: number }[] {
  const [first] = bins;
  const last = bins.at(-1);
  if (!first || !last) return [];
  return [
    { x: first.from, y: 0 },
    ...bins.flatMap(({ from, to, fitted }) => [
      { x: from, y: fitted },
      { x: to, y: fitted },
    ]),
    { x: last.to, y: 0 },
  ];
}
