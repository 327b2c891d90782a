/** How much of each dye lies along a strip, in the dyes' own colours. */
import * as Plot from '@observablehq/plot';
import type { DyesAlong } from '../../electron/backend/stripAnswers.ts';
import type { Surface } from '../plots/paint.ts';
import { AXIS, DARK, FIELD, GRID, X_LABEL, ground, tick } from '../plots/plotGround.ts';

export interface AmountPoint {
  readonly at: number;
  readonly amount: number;
  readonly low: number;
  readonly high: number;
}

export interface DyesAlongData {
  /** Along: R_F where both ends are known, else mm of the box. */
  readonly along: 'rF' | 'mm';
  readonly dyes: readonly {
    readonly band: number;
    readonly lab: DyesAlong['dyes'][number]['lab'];
    readonly points: readonly AmountPoint[];
  }[];
}

/** Amounts are told in units of the band's crown; ± 2u. */
export function dyesAlongData({ dyes, placesMm, amounts, u, originMm, frontMm }: DyesAlong): DyesAlongData {
  const ends = originMm !== null && frontMm !== null && originMm !== frontMm ? { originMm, frontMm } : null;
  const at = (mm: number): number => (ends ? (ends.originMm - mm) / (ends.originMm - ends.frontMm) : mm);
  return {
    along: ends ? 'rF' : 'mm',
    dyes: dyes.map(({ band, lab }, j) => ({
      band,
      lab,
      points: placesMm
        .map((mm, i): AmountPoint => {
          const [amount, doubt] = [amounts[j][i], 2 * u[j][i]];
          return { at: at(mm), amount, low: Math.max(0, amount - doubt), high: amount + doubt };
        })
        .toSorted((a, b) => a.at - b.at),
    })),
  };
}

const DASHES = ['none', '9 3', '2 3', '12 3 2 3', '5 5', '1 4'] as const;
export const dashOf = (index: number): string => DASHES[index % DASHES.length];

export function dyesAlongSvg({ along, dyes }: DyesAlongData, surface: Surface): SVGSVGElement | HTMLElement {
  const all = dyes.flatMap(({ points }) => points);
  const most = Math.max(0.2, ...all.map(({ amount }) => amount)) * 1.15;
  const places = all.map(({ at }) => at);
  return Plot.plot({
    ...ground(surface),
    x: {
      domain: [Math.min(0, ...places), Math.max(1, ...places)],
      label: along === 'rF' ? 'R_F: 0 origin, 1 front' : 'mm along the box',
      labelAnchor: 'center',
      labelOffset: X_LABEL,
      labelArrow: 'none',
      tickFormat: tick(along === 'rF' ? 1 : 0),
      ticks: 6,
    },
    y: {
      domain: [0, most],
      label: 'amount (1: the band’s crown)',
      labelAnchor: 'center',
      labelArrow: 'none',
      tickFormat: tick(1),
      ticks: 4,
    },
    marks: [
      Plot.frame({ fill: FIELD, stroke: 'none' }),
      Plot.gridY({ stroke: GRID, strokeOpacity: 1, ticks: 4 }),
      ...dyes.map(({ points, lab }) =>
        Plot.areaY(points, { x: 'at', y1: 'low', y2: 'high', fill: surface.paint(lab), fillOpacity: 0.4, clip: true }),
      ),
      ...dyes.flatMap(({ points, lab }, i) => [
        Plot.line(points, {
          x: 'at',
          y: 'amount',
          stroke: DARK,
          strokeWidth: 4,
          strokeDasharray: dashOf(i),
          clip: true,
        }),
        Plot.line(points, {
          x: 'at',
          y: 'amount',
          stroke: surface.paint(lab),
          strokeWidth: 2.4,
          strokeDasharray: dashOf(i),
          clip: true,
        }),
      ]),
      Plot.text(
        dyes.flatMap(({ band, points }) => {
          const top = points.reduce((best, point) => (point.amount > best.amount ? point : best), points[0]);
          return top ? [{ band: String(band), at: top.at, amount: Math.min(most, top.amount) }] : [];
        }),
        { x: 'at', y: 'amount', text: 'band', dy: -10, fill: DARK, stroke: FIELD, strokeWidth: 3, fontWeight: 600 },
      ),
      Plot.ruleY([0], { stroke: AXIS }),
    ],
  });
}
