/** Draws dose curves in the a*b* or the L*C* plane. */
import * as Plot from '@observablehq/plot';
import type { LabValue } from '../../analysis/quantity.ts';
import type { Surface } from '../plots/paint.ts';
import { placeLabels } from '../plots/placeLabels.ts';
import { DARK, FIELD, fieldOf, FONT_SIZE, ground, LIGHT } from '../plots/plotGround.ts';
import { planeField, planePlaces, type PlaneName, PLANES, type PlanePlaces } from './dosePlane.ts';
import { type DosePlotData, PAPER_MARKS, type PlottedPoint } from './dosePlotData.ts';

const RADIUS = 4;

export interface DoseSvgOptions {
  /** What the target's map says of each sample, as hollow marks. */
  readonly withMap: boolean;
}

export function doseSvg(
  name: PlaneName,
  data: DosePlotData,
  { withMap }: DoseSvgOptions,
  surface: Surface,
): SVGSVGElement | HTMLElement {
  const places = planePlaces(name, data, surface);
  const { back, ...axes } = planeField(name, places, surface);
  return Plot.plot({
    ...ground(surface),
    ...axes,
    symbol: { type: 'identity' },
    marks: [
      ...back,
      ...foretold(name, data),
      ...seen(name, data, surface),
      ...(withMap ? mapMarks(name, data) : []),
      ...papers(name, data, surface),
      ...samples(name, data, surface),
      ...labels(name, data, places, surface),
    ],
  });
}

interface Piece {
  readonly from: LabValue;
  readonly to: LabValue;
}

function along(name: PlaneName) {
  const { x, y } = PLANES[name];
  return {
    x1: ({ from }: Piece) => x(from),
    y1: ({ from }: Piece) => y(from),
    x2: ({ to }: Piece) => x(to),
    y2: ({ to }: Piece) => y(to),
  };
}

/** From the paper to the palest that was seen and beyond the densest: one dashed line, so that the dashes run on. */
function foretold(name: PlaneName, { papers }: DosePlotData): Plot.Markish[] {
  const { x, y } = PLANES[name];
  const lines = papers.flatMap(({ paperLab, pieces }, paper) => {
    const first = pieces.findIndex((piece) => piece.seen);
    const last = pieces.findLastIndex((piece) => piece.seen);
    const before = pieces.slice(0, first < 0 ? pieces.length : first);
    const after = first < 0 ? [] : pieces.slice(last + 1);
    const palest = pieces[0]?.from;
    const stops = (end: string, of: readonly LabValue[]) => of.map((lab) => ({ lab, z: `${paper} ${end}` }));
    return [
      ...stops('palest', [paperLab, ...(palest ? [palest] : []), ...before.map(({ to }) => to)]),
      ...stops(
        'densest',
        after.flatMap(({ from, to }, i) => (i === 0 ? [from, to] : [to])),
      ),
    ];
  });
  return [
    Plot.line(lines, {
      x: ({ lab }: (typeof lines)[number]) => x(lab),
      y: ({ lab }: (typeof lines)[number]) => y(lab),
      z: 'z',
      stroke: DARK,
      strokeWidth: 1.25,
      strokeDasharray: '2 3',
    }),
  ];
}

/** A band in the ink's own colours. */
function seen(name: PlaneName, { papers }: DosePlotData, surface: Surface): Plot.Markish[] {
  const pieces = papers.flatMap((paper) => paper.pieces.filter((piece) => piece.seen));
  const way = { ...along(name), strokeLinecap: 'round' as const };
  return [
    Plot.link(pieces, { ...way, stroke: DARK, strokeWidth: 7 }),
    Plot.link(pieces, { ...way, stroke: LIGHT, strokeWidth: 6 }),
    Plot.link(pieces, { ...way, stroke: ({ from, to }: Piece) => surface.paint(middle(from, to)), strokeWidth: 4.5 }),
  ];
}

function middle(a: LabValue, b: LabValue): LabValue {
  return [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2, (a[2] + b[2]) / 2];
}

function mapMarks(name: PlaneName, { points }: DosePlotData): Plot.Markish[] {
  const { x, y } = PLANES[name];
  const ties = points.map(({ lab, byMap }) => ({ from: lab, to: byMap }));
  const at = {
    x: (p: PlottedPoint) => x(p.byMap),
    y: (p: PlottedPoint) => y(p.byMap),
    symbol: symbolOf,
    r: RADIUS,
    fill: 'none',
  };
  return [
    Plot.link(ties, { ...along(name), stroke: DARK, strokeWidth: 0.75 }),
    Plot.dot(points, { ...at, stroke: LIGHT, strokeWidth: 3.5 }),
    Plot.dot(points, { ...at, stroke: DARK, strokeWidth: 1.25 }),
  ];
}

function papers(name: PlaneName, { papers: all }: DosePlotData, surface: Surface): Plot.Markish[] {
  const { x, y } = PLANES[name];
  type Paper = (typeof all)[number];
  const at = { x: (p: Paper) => x(p.paperLab), y: (p: Paper) => y(p.paperLab), symbol: 'square' as const, r: 5.5 };
  return [
    Plot.dot(all, { ...at, fill: DARK, stroke: DARK, strokeWidth: 2.5 }),
    Plot.dot(all, { ...at, fill: (p: Paper) => surface.paint(p.paperLab), stroke: LIGHT, strokeWidth: 1 }),
  ];
}

function samples(name: PlaneName, { points }: DosePlotData, surface: Surface): Plot.Markish[] {
  const { x, y } = PLANES[name];
  const at = { x: (p: PlottedPoint) => x(p.lab), y: (p: PlottedPoint) => y(p.lab), symbol: symbolOf, r: RADIUS };
  return [
    Plot.dot(points, { ...at, fill: DARK, stroke: DARK, strokeWidth: 3 }),
    Plot.dot(points, { ...at, fill: (p: PlottedPoint) => surface.paint(p.lab), stroke: LIGHT, strokeWidth: 1.5 }),
  ];
}

function symbolOf({ on }: PlottedPoint): (typeof PAPER_MARKS)[number] {
  return PAPER_MARKS[on % PAPER_MARKS.length];
}

/** Papers at their own colour, nibs at theirs. */
function labels(name: PlaneName, data: DosePlotData, places: PlanePlaces, surface: Surface): Plot.Markish[] {
  const { x, y } = PLANES[name];
  const wish = (text: string, lab: LabValue) => ({ text, x: places.toX(x(lab)), y: places.toY(y(lab)), radius: 7 });
  const placed = placeLabels(
    [
      ...data.papers.map(({ label, paperLab }) => wish(label, paperLab)),
      ...data.nibs.map((nib) => wish(nib.name, nib.lab)),
    ],
    fieldOf(surface),
    FONT_SIZE,
  );
  type Label = (typeof placed)[number];
  return [
    Plot.link(
      placed.filter(({ led }) => led),
      {
        x1: ({ pointX }: Label) => places.atX(pointX),
        y1: ({ pointY }: Label) => places.atY(pointY),
        x2: ({ pointX, left, width }: Label) => places.atX(Math.min(Math.max(pointX, left), left + width)),
        y2: ({ middle: at }: Label) => places.atY(at),
        stroke: DARK,
        strokeWidth: 0.75,
      },
    ),
    Plot.text(placed, {
      x: ({ left }: Label) => places.atX(left),
      y: ({ middle: at }: Label) => places.atY(at),
      text: 'text',
      textAnchor: 'start',
      fill: DARK,
      stroke: FIELD,
      strokeWidth: 4,
    }),
  ];
}
