/** All bands of the shelf by hue and R_F, in their own colours; those that may be one dye are tied together. */
import * as Plot from '@observablehq/plot';
import type { DyeTable } from '../../analysis/compare/dyeTable.ts';
import type { LabValue } from '../../analysis/quantity.ts';
import type { Surface } from '../plots/paint.ts';
import {
  AXIS,
  DARK,
  FIELD,
  FONT_SIZE,
  GRID,
  LIGHT,
  MARGIN,
  X_LABEL,
  fieldOf,
  ground,
  tick,
} from '../plots/plotGround.ts';
import { placeLabels } from '../plots/placeLabels.ts';
import { keyOf } from './dyeRows.ts';

export interface DyePoint {
  readonly key: string;
  readonly hue: number;
  readonly rF: number;
  /** ± 2u. */
  readonly uHue: number;
  readonly uRF: number;
  readonly lab: LabValue;
  readonly ink: string;
  /** The ink, with the run where its strips were run in several ways. */
  readonly label: string;
}

export interface DyesData {
  readonly points: readonly DyePoint[];
  /** Pairs of neighbours in a group that may be one dye. */
  readonly ties: readonly { readonly from: DyePoint; readonly to: DyePoint }[];
  /** Bands without a hue: they are in the table only. */
  readonly grey: number;
}

export function dyesData({ bands, shared }: DyeTable): DyesData {
  const points = bands.flatMap((band): DyePoint[] =>
    band.hueDeg === null
      ? []
      : [
          {
            key: keyOf(band),
            hue: band.hueDeg,
            rF: band.rF,
            uHue: 2 * band.uHueDeg,
            uRF: 2 * band.uRF,
            lab: band.colour,
            ink: band.strip.ink,
            label: bands.some(({ strip }) => strip.ink === band.strip.ink && strip.run !== band.strip.run)
              ? `${band.strip.ink}, ${band.strip.run ?? 'run not named'}`
              : band.strip.ink,
          },
        ],
  );
  const byKey = new Map(points.map((point) => [point.key, point]));
  const ties = shared.flatMap((group) => {
    const members = group.bands.flatMap((band) => byKey.get(keyOf(band)) ?? []);
    return members.slice(1).map((to, i) => ({ from: members[i], to }));
  });
  return { points, ties, grey: bands.length - points.length };
}

const RADIUS = 6.5;
const MOST_RF = 1.05;

export function dyesSvg({ points, ties }: DyesData, surface: Surface): SVGSVGElement | HTMLElement {
  const field = fieldOf(surface);
  const toX = (hue: number): number => field.left + (hue / 360) * (field.right - field.left);
  const toY = (rF: number): number => field.bottom - (rF / MOST_RF) * (field.bottom - field.top);
  const labels = placeLabels(
    // Clear of their crosses, too.
    points.map(({ label, hue, rF, uHue }) => ({
      text: label,
      x: toX(hue),
      y: toY(rF),
      radius: Math.max(RADIUS, toX(hue + uHue) - toX(hue)),
    })),
    field,
    FONT_SIZE,
  );
  type Label = (typeof labels)[number];
  const atX = (px: number): number => ((px - field.left) / (field.right - field.left)) * 360;
  const atY = (px: number): number => ((field.bottom - px) / (field.bottom - field.top)) * MOST_RF;
  return Plot.plot({
    ...ground(surface, MARGIN.top),
    x: {
      domain: [0, 360],
      label: 'hue, degrees (a*b*)',
      labelAnchor: 'center',
      labelOffset: X_LABEL,
      labelArrow: 'none',
      ticks: [0, 60, 120, 180, 240, 300, 360],
      tickFormat: tick(0),
    },
    y: {
      domain: [0, MOST_RF],
      label: 'R_F',
      labelAnchor: 'center',
      labelArrow: 'none',
      ticks: 5,
      tickFormat: tick(1),
    },
    marks: [
      Plot.frame({ fill: FIELD, stroke: 'none' }),
      Plot.gridY({ stroke: GRID, strokeOpacity: 1, ticks: 5 }),
      Plot.gridX({ stroke: GRID, strokeOpacity: 1, ticks: [60, 120, 180, 240, 300] }),
      Plot.ruleY([0], { stroke: AXIS }),
      ...ties.map(({ from, to }) =>
        Plot.line([from, to], { x: 'hue', y: 'rF', stroke: DARK, strokeWidth: 1.25, strokeDasharray: '4 3' }),
      ),
      Plot.link(
        labels.filter(({ led }) => led),
        {
          x1: ({ pointX }: Label) => atX(pointX),
          y1: ({ pointY }: Label) => atY(pointY),
          x2: ({ pointX, left, width }: Label) => atX(Math.min(Math.max(pointX, left), left + width)),
          y2: ({ middle }: Label) => atY(middle),
          stroke: DARK,
          strokeWidth: 0.75,
        },
      ),
      Plot.text(labels, {
        x: ({ left }: Label) => atX(left),
        y: ({ middle }: Label) => atY(middle),
        text: 'text',
        textAnchor: 'start',
        fill: DARK,
        stroke: FIELD,
        strokeWidth: 4,
      }),
      Plot.link(points, {
        x1: ({ hue, uHue }: DyePoint) => Math.max(0, hue - uHue),
        x2: ({ hue, uHue }: DyePoint) => Math.min(360, hue + uHue),
        y1: 'rF',
        y2: 'rF',
        stroke: AXIS,
      }),
      Plot.link(points, {
        x1: 'hue',
        x2: 'hue',
        y1: ({ rF, uRF }: DyePoint) => rF - uRF,
        y2: ({ rF, uRF }: DyePoint) => rF + uRF,
        stroke: AXIS,
      }),
      Plot.dot(points, { x: 'hue', y: 'rF', r: RADIUS + 1, fill: LIGHT, stroke: DARK, strokeWidth: 1 }),
      Plot.dot(points, {
        x: 'hue',
        y: 'rF',
        r: RADIUS,
        fill: ({ lab }: DyePoint) => surface.paint(lab),
      }),
    ],
  });
}
