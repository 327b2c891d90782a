/** Draws the distributions of L*, laid over each other. */
import * as Plot from '@observablehq/plot';
import type { LightnessCurve } from './lightnessData.ts';
import type { Surface } from './paint.ts';
import { placeLabels, type PlacedLabel } from './placeLabels.ts';
import { AXIS, DARK, FIELD, FONT_SIZE, GRID, LIGHT, fieldOf, X_LABEL, ground, tick } from './plotGround.ts';

/** Told apart by dashes and their labels; the colours of one ink's nibs are too alike to tell by. */
const DASHES = ['none', '7 3', '2 3', '10 3 2 3', '4 2', '12 4'] as const;

export function lightnessSvg(curves: readonly LightnessCurve[], surface: Surface): SVGSVGElement | HTMLElement {
  const field = fieldOf(surface);
  const all = curves.flatMap((curve) => [...bulkOf(curve), curve.dark[0], curve.light[0]]);
  const low = Math.max(0, Math.floor((Math.min(...all) - 4) / 5) * 5);
  const high = Math.min(100, Math.ceil((Math.max(...all) + 4) / 5) * 5);
  const most = Math.max(...curves.flatMap(({ steps }) => steps.map(({ share }) => share))) * 1.25;
  const toX = (L: number): number => field.left + ((L - low) / (high - low)) * (field.right - field.left);
  const toY = (share: number): number => field.bottom - (share / most) * (field.bottom - field.top);
  const labels = placeLabels(
    curves.map((curve) => {
      const top = topOf(curve);
      return { text: curve.label, x: toX(top.L), y: toY(top.share), radius: 4 };
    }),
    field,
    FONT_SIZE,
    'above',
  );
  return Plot.plot({
    ...ground(surface),
    x: {
      domain: [low, high],
      label: 'L*, dark to light',
      labelAnchor: 'center',
      labelOffset: X_LABEL,
      labelArrow: 'none',
      tickFormat: tick(0),
    },
    y: {
      domain: [0, most],
      label: '% of the ink per L*',
      labelAnchor: 'center',
      labelArrow: 'none',
      tickFormat: tick(most < 4 ? 1 : 0),
      ticks: 4,
    },
    marks: [
      Plot.frame({ fill: FIELD, stroke: 'none' }),
      Plot.gridY({ stroke: GRID, strokeOpacity: 1, ticks: 4 }),
      ...curves.flatMap((curve, i) => oneCurve(curve, DASHES[i % DASHES.length], surface)),
      Plot.ruleY([0], { stroke: AXIS }),
      ...names(labels, { low, high, most }, field),
    ],
  });
}

/** Share of the pixels left out at either end when the axis is chosen, %: a stray pixel must not make the rest narrow. */
const STRAY = 0.3;

/** From where to where all but stray pixels lie. */
export function bulkOf({ steps }: Pick<LightnessCurve, 'steps'>): readonly [low: number, high: number] {
  let below = 0;
  const sums = steps.map(({ L, share }, i) => (below += share * ((steps[i + 1]?.L ?? L) - L)));
  const from = steps[sums.findIndex((sum) => sum > STRAY)] ?? steps[0];
  const to = steps[sums.findIndex((sum) => sum >= 100 - STRAY) + 1] ?? steps[steps.length - 1];
  return [from.L, to.L];
}

/** Middle of the highest step. */
function topOf({ steps }: LightnessCurve): { readonly L: number; readonly share: number } {
  const at = steps.reduce((best, step, i) => (step.share > steps[best].share ? i : best), 0);
  const next = steps[at + 1];
  return { L: next ? (steps[at].L + next.L) / 2 : steps[at].L, share: steps[at].share };
}

function oneCurve(curve: LightnessCurve, dash: string, surface: Surface): Plot.Markish[] {
  const outline = outlineOf(curve);
  const ends = [
    { L: curve.dark[0], share: shareAt(curve, curve.dark[0]), lab: curve.dark },
    { L: curve.light[0], share: shareAt(curve, curve.light[0]), lab: curve.light },
  ];
  const paint = surface.paint(curve.lab);
  return [
    Plot.areaY(outline, { clip: true, x: 'L', y1: 0, y2: 'share', fill: paint, fillOpacity: 0.16 }),
    Plot.line(outline, { x: 'L', y: 'share', stroke: LIGHT, strokeWidth: 3.5, clip: true }),
    Plot.line(outline, { x: 'L', y: 'share', stroke: paint, strokeWidth: 2, strokeDasharray: dash, clip: true }),
    Plot.ruleX(ends, { x: 'L', y1: 0, y2: 'share', stroke: DARK, strokeWidth: 1, strokeDasharray: dash }),
    Plot.dot(ends, { x: 'L', y: 0, r: 5.5, symbol: 'triangle', fill: DARK, stroke: DARK, strokeWidth: 4 }),
    Plot.dot(ends, {
      x: 'L',
      y: 0,
      r: 5.5,
      symbol: 'triangle',
      fill: (end: { lab: LightnessCurve['lab'] }) => surface.paint(end.lab),
      stroke: LIGHT,
      strokeWidth: 2,
    }),
  ];
}

/** The corners of the steps, from the baseline up and back down. */
export function outlineOf({ steps }: Pick<LightnessCurve, 'steps'>): { L: number; share: number }[] {
  const first = steps[0];
  if (!first) return [];
  return [
    { L: first.L, share: 0 },
    ...steps.flatMap((step, i) => {
      const next = steps[i + 1];
      return next ? [step, { L: next.L, share: step.share }] : [step];
    }),
  ];
}

export function shareAt({ steps }: Pick<LightnessCurve, 'steps'>, L: number): number {
  const at = steps.findLastIndex((step) => step.L <= L);
  return at < 0 ? 0 : steps[at].share;
}

function names(
  labels: readonly PlacedLabel[],
  { low, high, most }: { readonly low: number; readonly high: number; readonly most: number },
  field: ReturnType<typeof fieldOf>,
): Plot.Markish[] {
  const L = (px: number): number => low + ((px - field.left) / (field.right - field.left)) * (high - low);
  const share = (px: number): number => ((field.bottom - px) / (field.bottom - field.top)) * most;
  return [
    Plot.text(labels, {
      x: (label: PlacedLabel) => L(label.left),
      y: (label: PlacedLabel) => share(label.middle),
      text: (label: PlacedLabel) => label.text,
      textAnchor: 'start',
      fill: DARK,
      stroke: FIELD,
      strokeWidth: 4,
    }),
  ];
}
