/** Draws the a*b* plane. */
import * as Plot from '@observablehq/plot';
import { abField } from './abField.ts';
import type { LabValue } from '../../analysis/quantity.ts';
import type { AbKind, AbPath, AbPlaneData, AbPoint } from './abPlaneData.ts';
import { type EqualScales, equalScales, extentOf } from './equalScales.ts';
import type { Surface } from './paint.ts';
import { placeLabels } from './placeLabels.ts';
import { namesBeside } from './namesBeside.ts';
import { DARK, FONT_SIZE, LIGHT, fieldOf, ground } from './plotGround.ts';

const SYMBOLS: Readonly<Record<AbKind, 'square' | 'circle' | 'triangle' | 'diamond'>> = {
  paper: 'square',
  nib: 'circle',
  swab: 'triangle',
  band: 'diamond',
};

const RADIUS = 5;

export function abPlaneSvg({ points, paths }: AbPlaneData, surface: Surface): SVGSVGElement | HTMLElement {
  const field = fieldOf(surface);
  const through = paths.flatMap((path) => path.through);
  const scales = equalScales(
    extentOf([...points.flatMap((p) => around(p.lab[1], p.twoUA)), ...through.map((lab) => lab[1])]),
    extentOf([...points.flatMap((p) => around(p.lab[2], p.twoUB)), ...through.map((lab) => lab[2])]),
    // Room for the marks themselves and for labels beside them.
    { left: field.left + 40, right: field.right - 40, top: field.top + 8, bottom: field.bottom - 8 },
  );
  const domain = wholeField(scales, field);
  const labels = placeLabels(
    points.map((p) => ({
      text: p.label,
      x: scales.toX(p.lab[1]),
      y: scales.toY(p.lab[2]),
      radius: RADIUS + 2,
      first: p.kind === 'paper',
    })),
    field,
    FONT_SIZE,
  );
  const { back, ...axes } = abField(domain);
  return Plot.plot({
    ...ground(surface),
    ...axes,
    marks: [
      ...back,
      ...ellipses(points),
      ...ends(paths, surface),
      ...nibWay(paths),
      // Nibs are what most look for: they lie uppermost.
      ...dots(
        points.filter(({ kind }) => kind !== 'nib'),
        surface,
      ),
      ...dots(
        points.filter(({ kind }) => kind === 'nib'),
        surface,
      ),
      ...crosses(points.filter(({ odd }) => odd)),
      ...namesBeside(
        labels,
        (px) => scales.x.low + (px - scales.toX(scales.x.low)) / scales.pxPerUnit,
        (px) => scales.y.low + (scales.toY(scales.y.low) - px) / scales.pxPerUnit,
      ),
    ],
  });
}

function around(value: number, by: number): number[] {
  return [value - by, value + by];
}

function wholeField(scales: EqualScales, field: { left: number; right: number; top: number; bottom: number }) {
  const atX = (px: number): number => scales.x.low + (px - scales.toX(scales.x.low)) / scales.pxPerUnit;
  const atY = (px: number): number => scales.y.low + (scales.toY(scales.y.low) - px) / scales.pxPerUnit;
  const x: [number, number] = [atX(field.left), atX(field.right)];
  const y: [number, number] = [atY(field.bottom), atY(field.top)];
  return { x, y };
}

const TURN = Array.from({ length: 49 }, (_, i) => (i / 48) * 2 * Math.PI);

/** Outline of ± 2u around a colour, closed. */
export function ellipseOutline({ lab, twoUA, twoUB }: AbPoint): readonly { readonly a: number; readonly b: number }[] {
  return TURN.map((t) => ({ a: lab[1] + twoUA * Math.cos(t), b: lab[2] + twoUB * Math.sin(t) }));
}

function ellipses(points: readonly AbPoint[]): Plot.Markish[] {
  const outline = points
    .filter((point) => point.twoUA > 0 && point.twoUB > 0)
    .flatMap((point) => ellipseOutline(point).map((at) => ({ ...at, key: point.key })));
  return [
    Plot.line(outline, { x: 'a', y: 'b', z: 'key', stroke: DARK, strokeWidth: 0.75, strokeOpacity: 0.4, clip: true }),
  ];
}

/** Light to dark tenth of each nib, in the colours that lie there. */
function ends(paths: readonly AbPath[], surface: Surface): Plot.Markish[] {
  const pieces = paths
    .filter(({ kind }) => kind === 'ends')
    .flatMap(({ through: [light, mean, dark] }) => [
      { from: light, to: mean, colour: light },
      { from: mean, to: dark, colour: dark },
    ]);
  const along = { x1: from(1), y1: from(2), x2: to(1), y2: to(2), strokeLinecap: 'round' as const };
  return [
    Plot.link(pieces, { ...along, stroke: DARK, strokeWidth: 5 }),
    Plot.link(pieces, { ...along, stroke: LIGHT, strokeWidth: 4 }),
    Plot.link(pieces, { ...along, stroke: (piece: Piece) => surface.paint(piece.colour), strokeWidth: 2.5 }),
  ];
}

interface Piece {
  readonly from: LabValue;
  readonly to: LabValue;
  readonly colour: LabValue;
}

const from =
  (component: 1 | 2) =>
  (piece: Omit<Piece, 'colour'>): number =>
    piece.from[component];
const to =
  (component: 1 | 2) =>
  (piece: Omit<Piece, 'colour'>): number =>
    piece.to[component];

/** Arrows from the thin nib to the thick one, on each paper. */
function nibWay(paths: readonly AbPath[]): Plot.Markish[] {
  const steps = paths
    .filter(({ kind }) => kind === 'nibs')
    .flatMap(({ through }) => through.slice(1).map((lab, i) => ({ from: through[i], to: lab })));
  const along = { x1: from(1), y1: from(2), x2: to(1), y2: to(2), inset: RADIUS + 2 };
  // Heads grow with the stroke; the casing's is to lie under the arrow's own.
  const [shaft, casing, head] = [1.25, 3.5, 7];
  return [
    Plot.arrow(steps, { ...along, stroke: LIGHT, strokeWidth: casing, headLength: (head * shaft) / casing }),
    Plot.arrow(steps, { ...along, stroke: DARK, strokeWidth: shaft, headLength: head }),
  ];
}

function dots(points: readonly AbPoint[], surface: Surface): Plot.Markish[] {
  const at = { x: (p: AbPoint) => p.lab[1], y: (p: AbPoint) => p.lab[2], symbol: (p: AbPoint) => SYMBOLS[p.kind] };
  return [
    Plot.dot(points, { ...at, r: RADIUS, fill: DARK, stroke: DARK, strokeWidth: 4 }),
    Plot.dot(points, { ...at, r: RADIUS, fill: (p: AbPoint) => surface.paint(p.lab), stroke: LIGHT, strokeWidth: 2 }),
  ];
}

/** Samples that are no part of the ink's path: struck out, by form and not by colour. */
function crosses(points: readonly AbPoint[]): Plot.Markish[] {
  const at = { x: (p: AbPoint) => p.lab[1], y: (p: AbPoint) => p.lab[2], symbol: 'times', r: RADIUS * 2 } as const;
  return [
    Plot.dot(points, { ...at, stroke: LIGHT, strokeWidth: 4.5 }),
    Plot.dot(points, { ...at, stroke: DARK, strokeWidth: 1.75 }),
  ];
}
