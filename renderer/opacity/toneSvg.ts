/** Draws the arrows of a change of paper in the a*b* plane: the papers' own, and one for each sample. */
import * as Plot from '@observablehq/plot';
import type { LabValue } from '../../analysis/quantity.ts';
import { abField } from '../plots/abField.ts';
import { equalScales, extentOf } from '../plots/equalScales.ts';
import type { Surface } from '../plots/paint.ts';
import { type LabelWish, placeLabels } from '../plots/placeLabels.ts';
import { namesBeside } from '../plots/namesBeside.ts';
import { DARK, fieldOf, FONT_SIZE, ground, LIGHT } from '../plots/plotGround.ts';
import type { Seen, ToneArrow } from './toneData.ts';

const RADIUS = 5;
/** Stroke widths of shafts; the papers' own is dashed, so that form tells them apart. */
const SHAFT = 1.4;
const CASING = 3.6;
const HEAD = 7;

interface Place {
  readonly key: string;
  readonly lab: LabValue;
  readonly kind: ToneArrow['kind'];
}

/** @param papers names of the paper that the arrows come from and of the one they go to */
export function toneSvg(
  arrows: readonly ToneArrow[],
  papers: readonly [from: string, to: string],
  seen: Seen,
  surface: Surface,
): SVGSVGElement | HTMLElement {
  const field = fieldOf(surface);
  const inner = { left: field.left + 44, right: field.right - 44, top: field.top + 18, bottom: field.bottom - 18 };
  const ends = arrows.flatMap(({ from, to }) => [from, to]);
  // Adapted, the whites of both papers lie where a* = b* = 0: arrows are read against that place.
  const shown: readonly LabValue[] = seen === 'adapted' ? [...ends, [100, 0, 0]] : ends;
  const scales = equalScales(extentOf(shown.map(([, a]) => a)), extentOf(shown.map(([, , b]) => b)), inner);
  const atX = (px: number): number => scales.x.low + (px - scales.toX(scales.x.low)) / scales.pxPerUnit;
  const atY = (px: number): number => scales.y.low + (scales.toY(scales.y.low) - px) / scales.pxPerUnit;
  const wish = (text: string, [, a, b]: LabValue): LabelWish => ({
    text,
    x: scales.toX(a),
    y: scales.toY(b),
    radius: RADIUS + 2,
  });
  const labels = placeLabels(
    arrows.flatMap(({ kind, label, from, to }) =>
      kind === 'paper' ? [wish(papers[0], from), wish(papers[1], to)] : [wish(label, to)],
    ),
    field,
    FONT_SIZE,
  );
  const places = arrows.flatMap(({ key, kind, from, to }): Place[] => [
    { key: `${key} from`, kind, lab: from },
    { key: `${key} to`, kind, lab: to },
  ]);
  const { back, ...axes } = abField({
    x: [atX(field.left), atX(field.right)],
    y: [atY(field.bottom), atY(field.top)],
  });
  return Plot.plot({
    ...ground(surface),
    ...axes,
    marks: [
      ...back,
      ...(seen === 'adapted' ? [Plot.dot([{ x: 0, y: 0 }], { x: 'x', y: 'y', r: 3, fill: LIGHT, stroke: DARK })] : []),
      ...shafts(arrows),
      ...dots(places, surface),
      ...namesBeside(labels, atX, atY),
    ],
  });
}

function shafts(arrows: readonly ToneArrow[]): Plot.Markish[] {
  const along = {
    x1: (arrow: ToneArrow) => arrow.from[1],
    y1: (arrow: ToneArrow) => arrow.from[2],
    x2: (arrow: ToneArrow) => arrow.to[1],
    y2: (arrow: ToneArrow) => arrow.to[2],
    inset: RADIUS + 2,
  };
  const inks = arrows.filter(({ kind }) => kind === 'ink');
  const papers = arrows.filter(({ kind }) => kind === 'paper');
  return [
    Plot.arrow(arrows, { ...along, stroke: LIGHT, strokeWidth: CASING, headLength: (HEAD * SHAFT) / CASING }),
    // A dashed head would be a heap of dots: the shaft is dashed up to the last piece, which is drawn whole.
    Plot.link(papers, { ...along, ...upTo(0, 1 - LAST), stroke: DARK, strokeWidth: SHAFT, strokeDasharray: '5 4' }),
    Plot.arrow(papers, {
      ...along,
      ...upTo(1 - LAST, 1),
      insetStart: 0,
      stroke: DARK,
      strokeWidth: SHAFT,
      headLength: HEAD,
    }),
    Plot.arrow(inks, { ...along, stroke: DARK, strokeWidth: SHAFT, headLength: HEAD }),
  ];
}

/** Share of an arrow's length. */
const LAST = 0.12;

function upTo(from: number, to: number) {
  const at =
    (c: 1 | 2, share: number) =>
    (arrow: ToneArrow): number =>
      arrow.from[c] + share * (arrow.to[c] - arrow.from[c]);
  return { x1: at(1, from), y1: at(2, from), x2: at(1, to), y2: at(2, to) };
}

function dots(places: readonly Place[], surface: Surface): Plot.Markish[] {
  const at = {
    x: ({ lab }: Place) => lab[1],
    y: ({ lab }: Place) => lab[2],
    symbol: ({ kind }: Place) => (kind === 'paper' ? ('square' as const) : ('circle' as const)),
    r: RADIUS,
  };
  return [
    Plot.dot(places, { ...at, fill: DARK, stroke: DARK, strokeWidth: 4 }),
    Plot.dot(places, { ...at, fill: ({ lab }: Place) => surface.paint(lab), stroke: LIGHT, strokeWidth: 2 }),
  ];
}
