/** Draws the light over the bed as three small pictures of grey, with figures where there is room. */
import * as Plot from '@observablehq/plot';
import type { ReportLight } from '../../electron/backend/api.ts';
import type { Surface } from '../plots/paint.ts';
import { DARK, ground, LIGHT } from '../plots/plotGround.ts';
import { CHANNELS, type LightCell, lightCells, lightReach, percentText } from './lightData.ts';

const MARGIN = { left: 12, right: 12, top: 30, bottom: 12 } as const;
const GAP = 0.06;
/** Narrower, three figures would run into each other. */
const ROOM_FOR_FIGURES = 240;

export function lightSvg(light: ReportLight, surface: Surface): SVGSVGElement | HTMLElement {
  const cells = lightCells(light);
  const reach = lightReach(cells);
  const { columns, rows } = light.grid;
  const told = surface.width < ROOM_FOR_FIGURES ? [] : cells.filter((cell) => isTold(cell, columns, rows));
  const x = (cell: LightCell): number => CHANNELS.indexOf(cell.channel) + across(cell.column, columns);
  const wide = (1 - GAP) / columns;
  return Plot.plot({
    ...ground(surface, MARGIN.top),
    marginLeft: MARGIN.left,
    marginRight: MARGIN.right,
    marginBottom: MARGIN.bottom,
    x: { domain: [0, CHANNELS.length - GAP], axis: null },
    y: { domain: [rows, 0], axis: null },
    marks: [
      Plot.rect(cells, {
        x1: x,
        x2: (cell: LightCell) => x(cell) + wide,
        y1: 'row',
        y2: (cell: LightCell) => cell.row + 1,
        fill: (cell: LightCell) => greyOf(cell.percent / reach),
        inset: -0.4,
      }),
      ...(['start', 'middle', 'end'] as const).map((anchor) =>
        Plot.text(
          told.filter((cell) => anchorOf(cell, columns) === anchor),
          {
            x: (cell: LightCell) => x(cell) + wide * { start: 0, middle: 0.5, end: 1 }[anchor],
            y: (cell: LightCell) => cell.row + 0.5,
            text: (cell: LightCell) => percentText(cell.percent),
            textAnchor: anchor,
            dx: { start: 3, middle: 0, end: -3 }[anchor],
            fill: DARK,
            stroke: LIGHT,
            strokeWidth: 3,
            fontSize: 11,
          },
        ),
      ),
      Plot.text(CHANNELS, {
        x: (_: unknown, i: number) => i + (1 - GAP) / 2,
        y: 0,
        text: (name: string) => name,
        textAnchor: 'middle',
        dy: -12,
        fill: DARK,
      }),
    ],
  });
}

/** Corners and the middle. */
function isTold({ column, row }: LightCell, columns: number, rows: number): boolean {
  const corner = (column === 0 || column === columns - 1) && (row === 0 || row === rows - 1);
  return corner || (column === columns >> 1 && row === rows >> 1);
}

/** Figures stay within their own picture. */
function anchorOf({ column }: LightCell, columns: number): 'start' | 'middle' | 'end' {
  return column === 0 ? 'start' : column === columns - 1 ? 'end' : 'middle';
}

function across(column: number, columns: number): number {
  return (column * (1 - GAP)) / columns;
}

/** −1 … 1 as greys from L* 45 to L* 97 about, none of them black: the figures have to read on all. */
function greyOf(share: number): string {
  const value = Math.round(178 + 68 * Math.max(-1, Math.min(1, share)));
  return `rgb(${value}, ${value}, ${value})`;
}
