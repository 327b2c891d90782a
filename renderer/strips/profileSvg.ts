/** A strip's three absorbances, and its colour as L*, a* and b*, one over the other on the strip's own axis. */
import * as Plot from '@observablehq/plot';
import { fixed } from '../../analysis/report/valueText.ts';
import type { LabValue } from '../../analysis/quantity.ts';
import type { StripDetail } from '../../electron/backend/api.ts';
import type { InTurn } from '../plots/inTurn.ts';
import type { Surface } from '../plots/paint.ts';
import { AXIS, DARK, FIELD, GRID, LIGHT, MARGIN, X_LABEL, decimalsOf, ground, tick } from '../plots/plotGround.ts';

export interface CurveStyle {
  readonly name: string;
  readonly stroke: string;
  readonly dash: string;
}

/** The channel's own hue, muted and of one lightness; dashes tell them apart without it. */
export const ABSORBANCE_STYLES: readonly CurveStyle[] = [
  { name: 'long waves (red)', stroke: '#a83232', dash: 'none' },
  { name: 'middle waves (green)', stroke: '#2c6e35', dash: '7 3' },
  { name: 'short waves (blue)', stroke: '#2f55a4', dash: '2 3' },
];
export const LAB_STYLES: readonly CurveStyle[] = [
  { name: 'L*', stroke: '#1c1c1c', dash: 'none' },
  { name: 'a*: green to red', stroke: '#a02f6b', dash: '7 3' },
  { name: 'b*: blue to yellow', stroke: '#7a5c00', dash: '2 3' },
];

export interface ProfileData {
  readonly strip: Pick<StripDetail, 'placesMm' | 'absorbance' | 'fitted' | 'lab' | 'bands' | 'originMm' | 'frontMm'>;
  /** The box's millimetres at the left and at the right. */
  readonly domain: readonly [left: number, right: number];
  readonly chosenBand: number | null;
}

/** Of the height, what the absorbances take. */
const UPPER = 0.56;
const SVG = 'http://www.w3.org/2000/svg';

/** Its two plots in turn: together they were the longest task of the page. */
export function* profileSvg(data: ProfileData, surface: Surface): InTurn<SVGSVGElement> {
  const { width, height, document } = surface;
  const upper = Math.round(UPPER * height);
  const whole = document.createElementNS(SVG, 'svg');
  whole.setAttribute('width', String(width));
  whole.setAttribute('height', String(height));
  whole.setAttribute('viewBox', `0 0 ${width} ${height}`);
  whole.setAttribute('class', 'plot');
  whole.append(moved(absorbances(data, { ...surface, height: upper }), 0, document));
  yield;
  whole.append(moved(colours(data, { ...surface, height: height - upper }), upper, document));
  return whole;
}

/** A drawn plot's parts as a group: an SVG in an SVG would take its size from the page's rules. */
function moved(drawn: Element, y: number, document: Document): Element {
  const group = document.createElementNS(SVG, 'g');
  for (const name of ['fill', 'font-family', 'font-size', 'text-anchor', 'style']) {
    const value = drawn.getAttribute(name);
    if (value !== null) group.setAttribute(name, value);
  }
  group.setAttribute('transform', `translate(0 ${y})`);
  for (const part of Array.from(drawn.children)) if (part.tagName.toLowerCase() !== 'style') group.append(part);
  return group;
}

interface Placed {
  readonly mm: number;
  readonly value: number;
}

function absorbances({ strip, domain, chosenBand }: ProfileData, surface: Surface): Element {
  const curves = strip.absorbance.map((curve) => placed(strip.placesMm, curve));
  const fits = strip.fitted.map((curve) => placed(strip.placesMm, curve));
  const most = Math.max(0.05, ...[...curves, ...fits].flat().map(({ value }) => value)) * 1.2;
  const lowest = -0.02 * most;
  const format = tick(decimalsOf(most - lowest, 4));
  return Plot.plot({
    ...ground(surface, 8),
    marginBottom: 8,
    x: { domain: [...domain], axis: null },
    y: { domain: [lowest, most], label: 'absorbance', ...Y, tickFormat: format, ticks: 4 },
    marks: [
      Plot.frame({ fill: FIELD, stroke: 'none' }),
      Plot.gridY({ stroke: GRID, strokeOpacity: 1, ticks: 4 }),
      ...bandMarks(strip, chosenBand, most),
      ...ABSORBANCE_STYLES.flatMap(({ stroke, dash }, c) => [
        Plot.line(fits[c], { x: 'mm', y: 'value', stroke: LIGHT, strokeWidth: 3.5, strokeOpacity: 0.8, clip: true }),
        Plot.line(curves[c], { x: 'mm', y: 'value', stroke, strokeWidth: 1.75, strokeDasharray: dash, clip: true }),
      ]),
      Plot.ruleY([0], { stroke: AXIS }),
    ],
  });
}

function colours({ strip, domain }: ProfileData, surface: Surface): Element {
  const curves = [0, 1, 2].map((c) =>
    placed(
      strip.placesMm,
      strip.lab.map((lab) => lab[c]),
    ),
  );
  const all = curves.flat().map(({ value }) => value);
  const [low, high] = [Math.min(0, ...all), Math.max(100, ...all)];
  return Plot.plot({
    ...ground(surface, 4),
    x: {
      domain: [...domain],
      label: 'mm from the box’s edge',
      labelAnchor: 'center',
      labelOffset: X_LABEL,
      labelArrow: 'none',
      tickFormat: tick(0),
    },
    y: { domain: [low - 4, high + 4], label: 'L* a* b*', ...Y, tickFormat: tick(0), ticks: 4 },
    marks: [
      Plot.frame({ fill: FIELD, stroke: 'none' }),
      Plot.gridY({ stroke: GRID, strokeOpacity: 1, ticks: 4 }),
      Plot.ruleY([0], { stroke: AXIS }),
      ...LAB_STYLES.map(({ stroke, dash }, c) =>
        Plot.line(curves[c], { x: 'mm', y: 'value', stroke, strokeWidth: 1.75, strokeDasharray: dash, clip: true }),
      ),
    ],
  });
}

const Y = { labelAnchor: 'center', labelArrow: 'none' } as const;

/** Where each band is at least half as dense as at its crown. */
function bandMarks(strip: ProfileData['strip'], chosen: number | null, most: number): Plot.Markish[] {
  const spans = strip.bands.map(({ band, fromMm, toMm, centreMm }) => ({
    band,
    x1: Math.min(fromMm, toMm),
    x2: Math.max(fromMm, toMm),
    centreMm,
  }));
  return [
    Plot.rect(spans, {
      x1: 'x1',
      x2: 'x2',
      y1: 0,
      y2: most,
      fill: LIGHT,
      fillOpacity: ({ band }: { band: number }) => (band === chosen ? 0.95 : 0.5),
      clip: true,
    }),
    Plot.text(spans, {
      x: 'centreMm',
      y: most,
      dy: 10,
      text: ({ band }: { band: number }) => fixed(band, 0),
      fill: DARK,
      stroke: FIELD,
      strokeWidth: 3,
      clip: true,
    }),
  ];
}

function placed(places: readonly number[], values: readonly number[]): Placed[] {
  return places.map((mm, i) => ({ mm, value: values[i] }));
}

/** Edges of the field, px: what lies over or under the plot lines up with it. */
export const FIELD_EDGES = { left: MARGIN.left, right: MARGIN.right } as const;

/** The lane's own colour along the strip, for a bar under its picture. */
export function laneColours(
  strip: Pick<StripDetail, 'placesMm' | 'lab'>,
): readonly { readonly fromMm: number; readonly toMm: number; readonly lab: LabValue }[] {
  const { placesMm, lab } = strip;
  return placesMm.map((mm, i) => {
    const before = placesMm[i - 1] ?? mm - ((placesMm[i + 1] ?? mm) - mm);
    const after = placesMm[i + 1] ?? mm + (mm - before);
    return { fromMm: (before + mm) / 2, toMm: (mm + after) / 2, lab: lab[i] };
  });
}
