import * as Plot from '@observablehq/plot';
import type { PlacedLabel } from './placeLabels.ts';
import { DARK, FIELD } from './plotGround.ts';

/**
 * Names where they were placed, with a line to those points from which they had to move away.
 * @param atX The plot's value at a px across. @param atY The same up.
 */
export function namesBeside(
  labels: readonly PlacedLabel[],
  atX: (px: number) => number,
  atY: (px: number) => number,
): Plot.Markish[] {
  return [
    Plot.link(
      labels.filter(({ led }) => led),
      {
        x1: (l: PlacedLabel) => atX(l.pointX),
        y1: (l: PlacedLabel) => atY(l.pointY),
        x2: (l: PlacedLabel) => atX(Math.min(Math.max(l.pointX, l.left), l.left + l.width)),
        y2: (l: PlacedLabel) => atY(l.middle),
        stroke: DARK,
        strokeWidth: 0.75,
      },
    ),
    Plot.text(labels, {
      x: (l: PlacedLabel) => atX(l.left),
      y: (l: PlacedLabel) => atY(l.middle),
      text: (l: PlacedLabel) => l.text,
      textAnchor: 'start',
      fill: DARK,
      stroke: FIELD,
      strokeWidth: 4,
    }),
  ];
}
