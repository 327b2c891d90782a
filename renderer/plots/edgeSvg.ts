/** Draws mean profiles across edges. */
import * as Plot from '@observablehq/plot';
import { EDGE_LEVELS, type EdgeCurve } from './edgeData.ts';
import type { Surface } from './paint.ts';
import { AXIS, DARK, FIELD, fieldOf, FONT_SIZE, GRID, ground, LIGHT, tick, X_LABEL } from './plotGround.ts';
import { type PlacedLabel, placeLabels } from './placeLabels.ts';

/** Told apart by dashes and their labels: one ink's edges are all of one colour. */
const DASHES = ['none', '7 3', '2 3', '10 3 2 3', '4 2', '12 4'] as const;
/** Room under the profiles for the colours along the first of them, and above for noise, % of the fall. */
const [LOW, HIGH] = [-22, 116];
const ROW = { y1: LOW, y2: LOW + 11 };
const BAR_Y = -5;

/** Room for one figure under the plot, px. */
const TICK_WIDTH = 45;

export function edgeSvg(curves: readonly EdgeCurve[], surface: Surface): SVGSVGElement | HTMLElement {
  const field = fieldOf(surface);
  const { low, high } = spanOf(curves);
  const toX = (mm: number): number => field.left + ((mm - low) / (high - low)) * (field.right - field.left);
  const toY = (fall: number): number => field.bottom - ((fall - LOW) / (HIGH - LOW)) * (field.bottom - field.top);
  const labels = placeLabels(
    curves.map((curve, i) => {
      const at = pointNear(curve, 72 - (44 * i) / Math.max(1, curves.length - 1));
      return { text: curve.label, x: toX(at.mm), y: toY(at.fall), radius: 4 };
    }),
    field,
    FONT_SIZE,
  );
  const decimals = high - low < 0.5 ? 2 : 1;
  const axis = { labelAnchor: 'center', labelArrow: 'none' } as const;
  return Plot.plot({
    ...ground(surface),
    x: {
      ...axis,
      domain: [low, high],
      label: 'mm from the edge: paper to ink',
      labelOffset: X_LABEL,
      // Figures of two decimals would run into each other in a narrow column.
      ticks: Math.min(6, Math.floor((field.right - field.left) / TICK_WIDTH)),
      tickFormat: tick(decimals),
    },
    y: {
      ...axis,
      domain: [LOW, HIGH],
      label: 'fall from paper to ink, %',
      ticks: [0, 25, 50, 75, 100],
      tickFormat: tick(0),
    },
    marks: [
      Plot.frame({ fill: FIELD, stroke: 'none' }),
      Plot.gridY([0, 25, 75, 100], { stroke: GRID, strokeOpacity: 1 }),
      Plot.ruleX([0], { stroke: AXIS }),
      ...haloes(curves, surface),
      Plot.ruleY(EDGE_LEVELS, { stroke: DARK, strokeWidth: 0.9, strokeDasharray: '5 3' }),
      // On the paper's side, where no profile runs: one under its rule, one over it.
      ...EDGE_LEVELS.map((level, i) =>
        Plot.text([level], {
          x: low,
          y: level,
          text: () => `${level} %`,
          textAnchor: 'start',
          dx: 4,
          dy: i === 0 ? 9 : -8,
          fill: DARK,
          stroke: FIELD,
          strokeWidth: 3,
        }),
      ),
      ...colourRow(curves[0], surface),
      ...scannerBar(curves),
      ...curves.flatMap((curve, i) => oneCurve(curve, DASHES[i % DASHES.length])),
      ...names(labels, { low, high }, field),
    ],
  });
}

/** Bare paper goes on for ever: shown is as much of it as lets the edge be seen, mm. */
export function spanOf(curves: readonly EdgeCurve[]): { readonly low: number; readonly high: number } {
  const all = curves.flatMap(({ points }) => points.map(({ mm }) => mm));
  const begins = curves.flatMap(({ points, halo }) => {
    const first = points.find(({ fall }) => fall > BARE);
    return [LEAST_PAPER_MM, 1.4 * (halo?.toMm ?? 0), first && first.mm < 0 ? -1.4 * first.mm : 0];
  });
  return { low: Math.max(Math.min(...all), -Math.max(...begins)), high: Math.max(...all) };
}
/** Less of the fall than this is the paper's own unevenness, %. */
const BARE = 3;
const LEAST_PAPER_MM = 0.3;

function oneCurve({ points }: EdgeCurve, dash: string): Plot.Markish[] {
  const at = { x: 'mm', y: 'fall', clip: true };
  return [
    Plot.line(points, { ...at, stroke: LIGHT, strokeWidth: 4.5 }),
    Plot.line(points, { ...at, stroke: DARK, strokeWidth: 2, strokeDasharray: dash }),
    Plot.line(
      points.filter(({ fitted }) => fitted !== null),
      { x: 'mm', y: 'fitted', clip: true, stroke: DARK, strokeWidth: 0.8 },
    ),
  ];
}

/** A ring beyond the edge, in its own colour. */
function haloes(curves: readonly EdgeCurve[], surface: Surface): Plot.Markish[] {
  const rings = curves.flatMap(({ halo }) => (halo ? [halo] : []));
  if (rings.length === 0) return [];
  const [first] = rings;
  return [
    Plot.rect([first], {
      x1: (ring: typeof first) => -ring.toMm,
      x2: (ring: typeof first) => -ring.fromMm,
      y1: 0,
      y2: 100,
      clip: true,
      fill: surface.paint(first.lab),
      stroke: AXIS,
    }),
    Plot.text([first], {
      x: (ring: typeof first) => -(ring.fromMm + ring.toMm) / 2,
      y: 106,
      text: () => 'halo',
      fill: DARK,
      stroke: FIELD,
      strokeWidth: 3,
    }),
  ];
}

/** What the scan shows along the profile, at the foot. */
function colourRow({ points }: EdgeCurve, surface: Surface): Plot.Markish[] {
  const pieces = points.slice(0, -1).map((point, i) => ({ from: point.mm, to: points[i + 1].mm, lab: point.lab }));
  type Piece = (typeof pieces)[number];
  return [
    Plot.rect(pieces, {
      x1: 'from',
      x2: 'to',
      ...ROW,
      inset: -0.3,
      clip: true,
      fill: (piece: Piece) => surface.paint(piece.lab),
      shapeRendering: 'crispEdges',
    }),
  ];
}

/** What a sharp edge would take in this scanner. */
function scannerBar(curves: readonly EdgeCurve[]): Plot.Markish[] {
  const own = curves.find(({ scannerMm }) => scannerMm !== null)?.scannerMm ?? null;
  if (own === null) return [];
  const bar = [{ from: -own / 2, to: own / 2 }];
  const along = { x1: 'from', x2: 'to', y: BAR_Y, clip: true } as const;
  return [
    Plot.ruleY(bar, { ...along, stroke: LIGHT, strokeWidth: 6 }),
    Plot.ruleY(bar, { ...along, stroke: DARK, strokeWidth: 3 }),
  ];
}

/** Where a profile first reaches this share of the fall. */
function pointNear({ points }: EdgeCurve, fall: number): { readonly mm: number; readonly fall: number } {
  return points.find((point) => point.fall >= fall) ?? points[points.length - 1];
}

function names(
  labels: readonly PlacedLabel[],
  { low, high }: { readonly low: number; readonly high: number },
  field: ReturnType<typeof fieldOf>,
): Plot.Markish[] {
  const mm = (px: number): number => low + ((px - field.left) / (field.right - field.left)) * (high - low);
  const fall = (px: number): number => LOW + ((field.bottom - px) / (field.bottom - field.top)) * (HIGH - LOW);
  return [
    Plot.text(labels, {
      x: (label: PlacedLabel) => mm(label.left),
      y: (label: PlacedLabel) => fall(label.middle),
      text: (label: PlacedLabel) => label.text,
      textAnchor: 'start',
      fill: DARK,
      stroke: FIELD,
      strokeWidth: 4,
    }),
  ];
}
