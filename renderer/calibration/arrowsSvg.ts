/** Draws the arrows in the a*b* plane. */
import * as Plot from '@observablehq/plot';
import { abField } from '../plots/abField.ts';
import { equalScales, extentOf } from '../plots/equalScales.ts';
import type { Surface } from '../plots/paint.ts';
import { namesBeside } from '../plots/namesBeside.ts';
import { type Box, boxAround, placeLabels } from '../plots/placeLabels.ts';
import { DARK, fieldOf, FONT_SIZE, ground, LIGHT } from '../plots/plotGround.ts';
import type { Arrow, ArrowsData } from './arrowsData.ts';

const RADIUS = 3.5;
const ROOM = 16;
/** Stroke widths. */
const SHAFT = 1.1;
const CASING = 3;
/** Of stroke widths, by which Plot scales an arrow's head. */
const HEAD = 6;

export function arrowsSvg({ arrows }: ArrowsData, surface: Surface): SVGSVGElement | HTMLElement {
  const field = fieldOf(surface);
  const inner = {
    left: field.left + ROOM,
    right: field.right - ROOM,
    top: field.top + ROOM,
    bottom: field.bottom - ROOM,
  };
  const scales = equalScales(
    extentOf(arrows.flatMap(({ from, to }) => [from[1], to[1]])),
    extentOf(arrows.flatMap(({ from, to }) => [from[2], to[2]])),
    inner,
  );
  const atX = (px: number): number => scales.x.low + (px - inner.left) / scales.pxPerUnit;
  const atY = (px: number): number => scales.y.low + (inner.bottom - px) / scales.pxPerUnit;
  const x: [number, number] = [atX(field.left), atX(field.right)];
  const y: [number, number] = [atY(field.bottom), atY(field.top)];
  const labels = placeLabels(
    arrows
      .filter(({ named }) => named)
      .map(({ id, to }) => ({ text: id, x: scales.toX(to[1]), y: scales.toY(to[2]), radius: 4 })),
    field,
    FONT_SIZE,
    'beside',
    arrows.flatMap(({ from, to }) =>
      alongShaft(scales.toX(from[1]), scales.toY(from[2]), scales.toX(to[1]), scales.toY(to[2])),
    ),
  );
  const along = {
    x1: (a: Arrow) => a.from[1],
    y1: (a: Arrow) => a.from[2],
    x2: (a: Arrow) => a.to[1],
    y2: (a: Arrow) => a.to[2],
  };
  const { back, ...axes } = abField({ x, y });
  return Plot.plot({
    ...ground(surface),
    ...axes,
    marks: [
      ...back,
      Plot.dot(arrows, {
        x: (a: Arrow) => a.from[1],
        y: (a: Arrow) => a.from[2],
        r: RADIUS,
        fill: (a: Arrow) => surface.paint(a.from),
        stroke: DARK,
        strokeWidth: 0.75,
      }),
      Plot.arrow(arrows, {
        ...along,
        stroke: LIGHT,
        strokeWidth: CASING,
        headLength: (HEAD * SHAFT) / CASING,
      }),
      Plot.arrow(arrows, { ...along, stroke: DARK, strokeWidth: SHAFT, headLength: HEAD }),
      ...namesBeside(labels, atX, atY),
    ],
  });
}

/** Small boxes that cover a dot and its arrow, px: one box around a slanted arrow would cover far more. */
function alongShaft(fromX: number, fromY: number, toX: number, toY: number): readonly Box[] {
  const steps = Math.ceil(Math.hypot(toX - fromX, toY - fromY) / (2 * RADIUS));
  return Array.from({ length: steps + 1 }, (_, i) => {
    const t = steps === 0 ? 0 : i / steps;
    return boxAround(fromX + t * (toX - fromX), fromY + t * (toY - fromY), RADIUS);
  });
}
