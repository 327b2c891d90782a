/** What all plots share: a field like pale paper, dark quiet lines, the window's letters. */
import * as Plot from '@observablehq/plot';
import { fixed } from '../../analysis/report/valueText.ts';
import type { Frame } from './equalScales.ts';
import type { Surface } from './paint.ts';

/** Neutral greys: the field stands near a paper's lightness, so that papers and pale inks do not swim. */
export const FIELD = '#e6e6e6';
export const GRID = '#d0d0d0';
export const AXIS = '#8c8c8c';
export const DARK = '#1c1c1c';
export const LIGHT = '#ffffff';

/** In the window by the first two (look/faces.css), in a saved picture by the third (pictureFonts.ts). */
export const FONT_FAMILY =
  '"Source Sans 3 Latin", "Source Sans 3 Greek", "Source Sans 3 Variable", "Source Sans 3", "DejaVu Sans", sans-serif';
export const FONT_SIZE = 13;

export const MARGIN = { left: 46, top: 12, right: 14, bottom: 44 } as const;

/** How far below the field the horizontal axis is named, px. */
export const X_LABEL = 36;

/** Edges of the field in px. */
export function fieldOf({ width, height }: Surface, top: number = MARGIN.top): Frame {
  return { left: MARGIN.left, top, right: width - MARGIN.right, bottom: height - MARGIN.bottom };
}

export function ground({ width, height, document }: Surface, top: number = MARGIN.top): Plot.PlotOptions {
  return {
    document,
    width,
    height,
    marginLeft: MARGIN.left,
    marginTop: top,
    marginRight: MARGIN.right,
    marginBottom: MARGIN.bottom,
    className: 'plot',
    style: {
      fontFamily: FONT_FAMILY,
      fontSize: `${FONT_SIZE}px`,
      background: 'none',
      color: DARK,
      overflow: 'visible',
    },
    color: { type: 'identity' },
  };
}

/** Ticks with a real minus sign. */
export function tick(decimals: number): (value: number) => string {
  return (value) => fixed(value, decimals);
}

/** Decimals, one at least, that tell some `ticks` ticks over `span` apart: their step is 1, 2 or 5 times a power of ten, the nearest in proportion. */
export function decimalsOf(span: number, ticks: number): number {
  const rough = Math.log10(span / ticks);
  const power = Math.floor(rough);
  // From √50 on the nearest step is ten.
  return Math.max(1, rough - power < Math.log10(Math.sqrt(50)) ? -power : -power - 1);
}
