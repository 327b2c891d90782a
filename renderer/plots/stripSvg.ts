/** Draws a strip's absorbances with its bands. */
import * as Plot from '@observablehq/plot';
import { fixed } from '../../analysis/report/valueText.ts';
import type { Surface } from './paint.ts';
import { AXIS, DARK, FIELD, GRID, LIGHT, X_LABEL, decimalsOf, ground, tick } from './plotGround.ts';
import { CURVE_NAMES, type StripPlotData } from './stripData.ts';

/** The three curves differ in lightness, dashes and mark, so that no colour has to be told. */
export const CURVE_STYLES = [
  { stroke: '#111111', dash: 'none', symbol: 'circle' },
  { stroke: '#4a4a4a', dash: '7 3', symbol: 'triangle' },
  { stroke: '#6e6e6e', dash: '2 3', symbol: 'square' },
] as const;

/** Height of the row of band colours, as a part of the axis. */
const ROW = 0.085;

export function stripSvg(data: StripPlotData, surface: Surface): SVGSVGElement | HTMLElement {
  const most = data.most * 1.1;
  const top = most * (1 + 1.6 * ROW);
  const row = { y1: top - most * ROW, y2: top };
  return Plot.plot({
    ...ground(surface, 30),
    x: {
      domain: [data.from, data.to],
      label:
        data.along === 'rF'
          ? 'R_F: 0 origin, 1 front'
          : data.origin === null
            ? 'mm along the box'
            : 'mm from the origin',
      labelAnchor: 'center',
      labelOffset: X_LABEL,
      labelArrow: 'none',
      tickFormat: tick(data.along === 'rF' ? 1 : 0),
      ticks: 6,
    },
    y: {
      domain: [0, top],
      label: 'absorbance over paper',
      labelAnchor: 'center',
      labelArrow: 'none',
      tickFormat: tick(decimalsOf(top, 4)),
      ticks: 4,
    },
    symbol: { type: 'identity' },
    marks: [
      Plot.frame({ fill: FIELD, stroke: 'none' }),
      Plot.gridY({ stroke: GRID, strokeOpacity: 1, ticks: 4 }),
      Plot.rect(data.bands, { x1: 'from', x2: 'to', y1: 0, y2: top, fill: LIGHT, fillOpacity: 0.55 }),
      Plot.rect(data.bands, {
        x1: 'from',
        x2: 'to',
        ...row,
        fill: (band: StripPlotData['bands'][number]) => surface.paint(band.lab),
        stroke: DARK,
        strokeWidth: 0.75,
      }),
      ...data.curves.flatMap(({ channel, points }) => {
        const { stroke, dash, symbol } = CURVE_STYLES[channel];
        return [
          Plot.dot(thinned(points), { x: 'at', y: 'measured', r: 1.6, symbol, stroke, strokeWidth: 0.8, clip: true }),
          Plot.line(points, { x: 'at', y: 'fitted', stroke, strokeWidth: 1.75, strokeDasharray: dash, clip: true }),
        ];
      }),
      Plot.ruleX(marked(data), { x: 'at', stroke: DARK, strokeWidth: 1 }),
      Plot.text(marked(data), { x: 'at', y: top, text: 'name', dy: -18, fill: DARK, textAnchor: 'middle' }),
      Plot.text(data.bands, {
        x: 'centre',
        y: row.y1,
        text: (band: { band: number }) => fixed(band.band, 0),
        dy: 9,
        fill: DARK,
        stroke: FIELD,
        strokeWidth: 3,
      }),
      Plot.ruleY([0], { stroke: AXIS }),
    ],
  });
}

/** Origin and front, where they are known. */
function marked({ origin, front }: StripPlotData): { at: number; name: string }[] {
  return [
    ...(origin === null ? [] : [{ at: origin, name: 'origin' }]),
    ...(front === null ? [] : [{ at: front, name: 'front' }]),
  ];
}

/** At most some 120 marks a curve: more would hide the lines. */
export function thinned<T>(points: readonly T[], most = 120): readonly T[] {
  const step = Math.ceil(points.length / most);
  return step <= 1 ? points : points.filter((_, i) => i % step === 0);
}

/** The legend under the plot: what each line stands for, with its dash. */
export const CURVE_LEGEND = CURVE_NAMES.map((name, i) => ({ name, ...CURVE_STYLES[i] }));
